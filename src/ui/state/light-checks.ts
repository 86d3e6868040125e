/** The light and the camera, judged point by point in plain words. Pure: the screen shows it. */
import type { Held } from '../../camera/camera.ts';
import type { LightCheck } from '../../reading/light-check.ts';
import { formatNumber, formatPercent } from '../elements/numbers.ts';
import type { BenchState } from './bench-state.ts';
import { SETTLED } from './settling.ts';

export interface Check {
  readonly title: string;
  readonly state:
    | 'good'
    /** Something to do: `what` says it. */
    | 'mend'
    /** Not known yet. */
    | 'wait'
    /** Cannot be told, or not be done, here. */
    | 'cannot';
  readonly what: string;
}

// Common practice, no source: an even field, one lamp, a ground that is grey to the eye.
const EVEN = 0.2;
const ONE_COLOUR = 0.05;
const GREY = 7;

/** @param light what the picture itself shows; absent until there is one with a tile */
export function lightChecks(
  state: Pick<BenchState, 'feed' | 'live' | 'tile'>,
  light: LightCheck | undefined,
): readonly Check[] {
  return [
    tileInShot(state),
    tileLevel(state),
    ...lampChecks(light),
    ...controls(state),
    surround(light),
    steady(state),
  ];
}

type State = Parameters<typeof lightChecks>[0];

function tileInShot({ feed, live, tile }: State): Check {
  const title = 'Tile in the picture';
  if (feed.status !== 'running' || !live) return { title, state: 'wait', what: 'No picture yet.' };
  if (tile) return { title, state: 'good', what: 'Given by hand.' };
  return live.tile
    ? { title, state: 'good', what: 'Found.' }
    : {
        title,
        state: 'mend',
        what: 'Lay a plain white glazed tile beside the piece, whole in the picture.',
      };
}

function tileLevel({ live }: State): Check {
  const title = 'Exposure: the tile at 75–90 %';
  const level = live?.tileLevel;
  if (level === undefined) return { title, state: 'wait', what: 'When the tile is found.' };
  const is = `It is at ${formatPercent(level)}`;
  if (level < 0.75) {
    return { title, state: 'mend', what: `${is}: raise the exposure or bring the lamp nearer.` };
  }
  return level > 0.9
    ? { title, state: 'mend', what: `${is}: lower the exposure or move the lamp back.` }
    : { title, state: 'good', what: `${is}.` };
}

function lampChecks(light: LightCheck | undefined): readonly Check[] {
  const even = 'Lamp even';
  const one = 'One lamp only';
  if (!light) {
    const what = 'When the tile can be read.';
    return [
      { title: even, state: 'wait', what },
      { title: one, state: 'wait', what },
    ];
  }
  const change = `The light changes by ${formatPercent(Math.exp(light.gradient) - 1)} across the tile`;
  return [
    light.gradient <= EVEN
      ? { title: even, state: 'good', what: `${change}.` }
      : {
          title: even,
          state: 'mend',
          what: `${change}: move the lamp further away, or let the tile face it.`,
        },
    light.colourShift <= ONE_COLOUR
      ? { title: one, state: 'good', what: 'The light has one colour across the tile.' }
      : {
          title: one,
          state: 'mend',
          what: 'A second light of another colour falls on the tile: turn off other lamps, keep daylight and coloured things out.',
        },
  ];
}

const CONTROLS = [
  ['exposure', 'Exposure held still'],
  ['whiteBalance', 'White balance held still'],
  ['focus', 'Focus held still'],
] as const;

function controls({ feed }: State): readonly Check[] {
  return CONTROLS.map(([control, title]): Check => {
    if (feed.kind === 'demo') return { title, state: 'good', what: 'The demo bench keeps it.' };
    if (feed.kind === 'photo') {
      return {
        title,
        state: 'cannot',
        what: 'A photograph has what its camera chose. Tile and piece in one picture make up for most of it.',
      };
    }
    return feed.held
      ? { title, ...HELD[feed.held[control]] }
      : { title, state: 'wait', what: 'The camera is being asked.' };
  });
}

const HELD: Record<Held, Pick<Check, 'state' | 'what'>> = {
  held: { state: 'good', what: 'Held where it was.' },
  'not-offered': {
    state: 'cannot',
    what: 'This browser or camera does not let the page hold it. Keep tile and piece in the picture: each reading is set against the tile of the same moment.',
  },
  refused: {
    state: 'mend',
    what: 'The camera did not take it, or has let go of it. Try Hold again, or another camera.',
  },
};

function surround(light: LightCheck | undefined): Check {
  const title = 'Grey surround';
  if (!light) return { title, state: 'wait', what: 'When the tile can be read.' };
  const { chroma } = light.surround;
  return chroma <= GREY
    ? { title, state: 'good', what: 'What surrounds the piece is grey.' }
    : {
        title,
        state: 'mend',
        what: `What surrounds the piece has colour (C* ${formatNumber(chroma, 0)}), and throws it on piece and tile: lay grey card or cloth under and behind them.`,
      };
}

function steady({ feed, live }: State): Check {
  const title = 'Everything at rest';
  if (feed.kind === 'photo') return { title, state: 'good', what: 'A photograph.' };
  if (!live) return { title, state: 'wait', what: 'No picture yet.' };
  if (live.moving) {
    return {
      title,
      state: 'mend',
      what: 'Something moves: set the piece on a ring or in sand, the camera on a stand.',
    };
  }
  return live.settled >= SETTLED
    ? { title, state: 'good', what: 'Nothing moves.' }
    : { title, state: 'wait', what: 'Settling.' };
}
