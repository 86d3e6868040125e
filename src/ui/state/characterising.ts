/** Reading a pigment on the tile: what is laid there, what the reading makes of it, what comes next. */
import { xyzD65FromLab } from '../../colour/cielab.ts';
import { deltaE00 } from '../../colour/ciede2000.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import type { PotGrams, Tint } from '../../paint/types.ts';
import { formatNamedLab } from '../elements/numbers.ts';
import type { BenchState, Characterising, CharacterStep } from './bench-state.ts';
import { doseOf } from './doses.ts';
import { guarded } from './fault.ts';
import type { Feeds } from './feeds.ts';
import type { Palettes } from './palettes.ts';
import type { Pointing } from './pointing.ts';
import type { Readings } from './readings.ts';
import type { Store } from './store.ts';

/** One part of pigment in nine of white: a tint that shows the pigment's strength and keeps its hue. */
export const FIRST_AMOUNTS: Characterising['amounts'] = { pigment: 0.1, white: 0.9, measure: 'g' };
/** The second tint, nearer to what retouching mixes. */
const PALE_AMOUNTS: Characterising['amounts'] = { pigment: 0.05, white: 1.5, measure: 'g' };
/** A tint no further than this from its masstone is the same dab read twice. */
const SAME_DAB = 0.5;
/** Only a paint as light as this may look the same in white. */
const NEARLY_WHITE = 88;

export class CharacterisingSession {
  readonly #store: Store<BenchState>;
  readonly #feeds: Feeds;
  readonly #palettes: Palettes;
  readonly #pointing: Pick<Pointing, 'pointOnTile' | 'pointOnPiece'>;
  readonly #readings: Pick<Readings, 'measure'>;
  /** The bench is turned to the tile; what was under way when one leaves comes to nothing. */
  #isInside = false;
  /** What was kept last, and for what. */
  #last: { readonly place: string; readonly lab: LabD65 } | undefined;
  /** What reads as the dab before it is kept when the person says so twice. */
  #doubted: string | undefined;

  constructor(
    store: Store<BenchState>,
    feeds: Feeds,
    palettes: Palettes,
    pointing: Pick<Pointing, 'pointOnTile' | 'pointOnPiece'>,
    readings: Pick<Readings, 'measure'>,
  ) {
    this.#store = store;
    this.#feeds = feeds;
    this.#palettes = palettes;
    this.#pointing = pointing;
    this.#readings = readings;
  }

  /** Turns the bench to the tile. Where the person left off, or what is asked for. */
  async enter(pigment?: string): Promise<void> {
    this.#isInside = true;
    const { palette, characterising: left } = this.#store.state;
    const wanted = palette && (stepFor(palette, pigment) ?? nextStepOf(palette));
    const next = left && (pigment === undefined || left.pigment === pigment) ? left : wanted;
    if (!next) return;
    await this.choose(next.pigment, next.step);
    if (this.#stays()) await this.#pointing.pointOnTile();
  }

  /** Gives the bench back to the piece; what is typed and chosen waits. */
  async leave(): Promise<void> {
    this.#isInside = false;
    await this.#feeds.layOnTile(undefined);
    await this.#pointing.pointOnPiece();
  }

  /** @param step absent: the first thing that is still to be read of it */
  async choose(pigment: string, step?: CharacterStep): Promise<void> {
    const { palette, characterising: now } = this.#store.state;
    if (!palette) return;
    const chosen = step ?? stepFor(palette, pigment)?.step ?? 'masstone';
    const isSame = now?.pigment === pigment && now.step === chosen;
    this.#store.set({
      characterising: {
        pigment,
        step: chosen,
        amounts: isSame ? now.amounts : chosen === 'more-tint' ? PALE_AMOUNTS : FIRST_AMOUNTS,
        fault: undefined,
      },
      refused: [],
    });
    await this.#lay();
  }

  async setAmounts(amounts: Characterising['amounts']): Promise<void> {
    const { characterising: now } = this.#store.state;
    if (!now) return;
    this.#store.set({ characterising: { ...now, amounts, fault: undefined } });
    await this.#lay();
  }

  /** Takes the reading of this moment, keeps it and goes on to the next. */
  async read(): Promise<void> {
    const { busy, characterising: asked } = this.#store.state;
    if (busy || !asked) return;
    this.#store.set({ busy: 'reading', refused: [], notice: undefined });
    this.#fault(undefined);
    await guarded(this.#store, 'The reading failed', async () => {
      const result = await this.#readings.measure();
      const now = this.#store.state.characterising;
      const isWanted = this.#isInside && now?.pigment === asked.pigment && now.step === asked.step;
      if (!isWanted) return;
      if (!result) {
        this.#fault(
          'There is nothing to read yet. Point at the paint on the tile, and hold still.',
        );
      } else if (!result.ok) this.#store.set({ refused: result.refused });
      else await this.keep(result.dabLab, 'read');
    });
    this.#store.set({ busy: undefined });
  }

  /** Keeps a colour for the present step, read or typed. A fault keeps nothing, and loses nothing. */
  async keep(lab: LabD65, origin: 'read' | 'typed'): Promise<void> {
    const { characterising: now, palette } = this.#store.state;
    const pigment = palette?.pigments.find(({ id }) => id === now?.pigment);
    if (!now || !palette || !pigment) return;
    const tint = tintOf(now, palette, lab);
    if (typeof tint === 'string') {
      this.#fault(tint);
      return;
    }
    const place = `${pigment.id}/${now.step}`;
    if (origin === 'read' && this.#doubted !== place && this.#isStale(now.step, pigment, lab)) {
      this.#doubted = place;
      this.#fault(
        `That reads as the dab before it. Lay the ${NAMES[now.step]} of ${pigment.name} and read again; if it does lie there, press once more.`,
      );
      return;
    }
    this.#doubted = undefined;
    const fault = await this.#palettes.changePigment(
      pigment.id,
      keptLine(now, pigment, lab),
      (current) => withColour({ ...current, origin }, now.step, lab, tint),
    );
    if (fault !== undefined) {
      this.#fault(`${fault} Nothing was kept: lay the dab again, or correct the amounts.`);
      return;
    }
    this.#last = { place, lab };
    const after = this.#store.state.palette ?? palette;
    const next = nextStepOf(after, pigment.id);
    if (next) await this.choose(next.pigment, next.step);
    else await this.choose(pigment.id, now.step);
  }

  /** One key reads and goes on: pressed before the dab was changed, it would read the last one twice. */
  #isStale(step: CharacterStep, { id, masstone, tint }: Pigment, lab: LabD65): boolean {
    // Over black a coat that hides reads as it did over white.
    if (step === 'black') return false;
    const own = { masstone: [tint?.lab], tint: [masstone], 'more-tint': [masstone, tint?.lab] };
    const last = this.#last?.place === `${id}/${step}` ? undefined : this.#last?.lab;
    return [last, ...own[step]].some(
      (other) => other && other[0] < NEARLY_WHITE && deltaE00(other, lab) < SAME_DAB,
    );
  }

  /** Asked after waiting: the person may have left meanwhile. */
  #stays(): boolean {
    return this.#isInside;
  }

  #fault(fault: string | undefined): void {
    this.#store.set(({ characterising }) => ({
      characterising: characterising && { ...characterising, fault },
    }));
  }

  /** On the demo bench the paint lies there by itself. */
  async #lay(): Promise<void> {
    const { characterising: now, palette } = this.#store.state;
    if (!now || !palette || !this.#isInside) return;
    const refused = await this.#feeds.layOnTile(onTile(now, palette));
    if (refused !== undefined) this.#fault(refused);
  }
}

/** What is still to be read, in the palette's order, the pigment at hand first, the white before all. */
export function nextStepOf(
  palette: Palette,
  current?: string,
): { readonly pigment: string; readonly step: CharacterStep } | undefined {
  const present = palette.pigments.filter(({ putAway }) => !putAway);
  const order = [
    ...present.filter(({ id }) => id === current),
    ...present.filter(({ isWhite }) => isWhite),
    ...present,
  ];
  for (const pigment of order) {
    const step = missingStep(pigment);
    if (step) return { pigment: pigment.id, step };
  }
  return undefined;
}

/** What a pigment still lacks; undefined when masstone and tint are there. */
export function missingStep({ masstone, tint, isWhite }: Pigment): 'masstone' | 'tint' | undefined {
  if (!masstone) return 'masstone';
  return tint || isWhite ? undefined : 'tint';
}

function stepFor(palette: Palette, id: string | undefined) {
  const pigment = palette.pigments.find((one) => one.id === id);
  return pigment && { pigment: pigment.id, step: missingStep(pigment) ?? ('masstone' as const) };
}

/** What lies on the tile, g by pigment id. */
function onTile(now: Characterising, palette: Palette): PotGrams {
  if (now.step === 'masstone' || now.step === 'black') return { [now.pigment]: 1 };
  const grams = gramsOf(now, palette);
  const white = palette.pigments.find(({ isWhite }) => isWhite);
  if (typeof grams === 'string' || !white) return {};
  return { [now.pigment]: grams.pigment, [white.id]: grams.white };
}

/** The amounts of a tint in grams, or what is wrong with them. */
export function gramsOf(
  { amounts, pigment }: Pick<Characterising, 'amounts' | 'pigment'>,
  palette: Palette,
): { readonly pigment: number; readonly white: number } | string {
  const white = palette.pigments.find(({ isWhite }) => isWhite);
  if (!white) return 'No paint of this palette is marked as its white: mark one, then tint in it.';
  const massOf = (id: string) =>
    amounts.measure === 'g' ? 1 : (doseOf(palette, id, amounts.measure)?.grams ?? Number.NaN);
  const grams = {
    pigment: amounts.pigment * massOf(pigment),
    white: amounts.white * massOf(white.id),
  };
  const name = palette.pigments.find(({ id }) => id === pigment)?.name ?? pigment;
  for (const [who, mass] of [
    [name, grams.pigment],
    [white.name, grams.white],
  ] as const) {
    if (!(mass > 0 && mass <= 10_000))
      return `How much ${who} is in the tint? Give more than nothing.`;
  }
  return grams;
}

function tintOf(now: Characterising, palette: Palette, lab: LabD65): Tint | undefined | string {
  if (now.step === 'masstone' || now.step === 'black') return undefined;
  const grams = gramsOf(now, palette);
  return typeof grams === 'string' ? grams : { lab, ...grams };
}

function withColour(
  pigment: Pigment,
  step: CharacterStep,
  lab: LabD65,
  tint: Tint | undefined,
): Pigment {
  switch (step) {
    case 'masstone':
      return { ...pigment, masstone: lab };
    case 'black':
      return { ...pigment, overBlack: lab };
    case 'tint':
      return { ...pigment, ...(tint && { tint }) };
    case 'more-tint': {
      const others = (pigment.moreTints ?? []).filter(
        (other) => tint && ratio(other) !== ratio(tint),
      );
      return { ...pigment, moreTints: [...others, ...(tint ? [tint] : [])] };
    }
  }
}

const ratio = ({ pigment, white }: Tint) => (white / pigment).toPrecision(3);

function keptLine({ step }: Characterising, { name }: Pigment, lab: LabD65): string {
  return `Kept: ${NAMES[step]} of ${name}, ${formatNamedLab(lab)}.`;
}

/**
 * Contrast ratio of the masstone: luminous reflectance over black divided by that over the white tile,
 * 0–1 (ISO 6504-1, on the ground that is there); undefined until both were read.
 */
export function contrastOf({ masstone, overBlack }: Pigment): number | undefined {
  if (!masstone || !overBlack) return undefined;
  const [, overWhite] = xyzD65FromLab(masstone);
  const [, over] = xyzD65FromLab(overBlack);
  return overWhite > 0 ? Math.min(1, Math.max(0, over / overWhite)) : undefined;
}

const NAMES: Readonly<Record<CharacterStep, string>> = {
  masstone: 'masstone',
  tint: 'tint',
  'more-tint': 'second tint',
  black: 'masstone over black',
};
