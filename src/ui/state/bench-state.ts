/** What the bench screen knows: no frames, and nothing that a reload may lose. */
import type { FeedFailure } from '../../camera/feed.ts';
import type { CameraDevice, HeldControls } from '../../camera/camera.ts';
import type { Id } from '../../job/ids.ts';
import type { Area, Attempt, Job, Palette, Piece } from '../../job/records.ts';
import type { ReadingRecord } from '../../job/reading-record.ts';
import type { Settings } from '../../job/settings.ts';
import { STEADY, type Drift } from '../../reading/drift.ts';
import type { BlendMapResult } from '../../reading/blend-map.ts';
import type { FilmState } from '../../paint/drying.ts';
import type { PotGrams, PreDilution, Suggestion } from '../../paint/types.ts';
import type {
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  Reading,
  ReadingResult,
  Refusal,
} from '../../reading/types.ts';
import type { PointTarget } from '../elements/viewfinder.ts';

export interface Place {
  readonly job: Job;
  readonly piece: Piece;
  readonly area: Area;
}

export interface FeedState {
  readonly kind: 'demo' | 'camera' | 'photo';
  readonly status: 'starting' | 'running' | 'failed';
  readonly label: string;
  readonly width: number;
  readonly height: number;
  /** Why there is no picture, and the way on. */
  readonly failure?: Pick<FeedFailure, 'message' | 'remedy'>;
  /** The picture to show: a stream for live feeds, an address for a photograph. */
  readonly stream?: MediaStream;
  readonly address?: string;
  readonly held?: HeldControls;
}

/** The reading engine loads after the first view, and may have to start again. */
export type EngineState = 'loading' | 'ready' | { readonly failed: string };

/** The live picture's report, a few times a second at most. */
export interface LiveView {
  readonly tile: PixelPolygon | undefined;
  readonly tileFound: boolean;
  /** Mean of the tile's brightest channel as a share of the encoded range; 0.75–0.9 is good. */
  readonly tileLevel: number | undefined;
  /** ln of the tile's light, ln R/G, ln B/G, once nothing moves. */
  readonly tileLight?: readonly [number, number, number];
  readonly settled: number;
  readonly framesAveraged: number;
  readonly moving: boolean;
  readonly result: ReadingResult | undefined;
  /** The blend map, while an area is watched in place of a dab. */
  readonly map?: BlendMapResult;
}

/** A reading that was taken and stands until the next. */
export interface HeldReading {
  readonly result: Reading;
  readonly at: string;
  readonly saved: Id<'reading'> | undefined;
  /** Where the captured picture lies in the frame: outlines are drawn there. */
  readonly offset: { readonly x: number; readonly y: number };
}

export interface NudgeState {
  readonly suggestions: readonly Suggestion[];
  readonly chosen: number;
  /** Said in place of suggestions, or, beside them, how far they lead. */
  readonly message: string;
  /** A mix from nothing comes nearer, or costs less paint, than adding does. */
  readonly startAgain?: {
    readonly pot: PotGrams;
    readonly preDiluted: readonly PreDilution[];
    readonly deltaE00: number;
  };
  /** One reading more would tell whether it is a match. */
  readonly readAgain?: boolean;
  /** What does not fit together in the pot's record. */
  readonly warnings?: readonly string[];
}

/** What is laid on the tile to be read: the pigment alone, in white, in more white, over black. */
export type CharacterStep = 'masstone' | 'tint' | 'more-tint' | 'black';

/** Which pigment is being characterised, and how. */
export interface Characterising {
  readonly pigment: string;
  readonly step: CharacterStep;
  /** What the tint is mixed from, in the person's own measure. */
  readonly amounts: {
    readonly pigment: number;
    readonly white: number;
    readonly measure: 'g' | 'drop' | 'touch';
  };
  /** Why the last reading was not kept. */
  readonly fault: string | undefined;
}

/** A saved reading with what a list needs of it. */
export interface SavedReading {
  readonly record: ReadingRecord;
  readonly attempt: Attempt | undefined;
}

export interface Notice {
  readonly text: string;
  readonly undo?: () => Promise<void>;
}

export interface BenchState {
  readonly place: Place | undefined;
  readonly palette: Palette | undefined;
  readonly settings: Settings | undefined;
  readonly cameras: readonly CameraDevice[];
  readonly feed: FeedState;
  readonly engine: EngineState;
  readonly tile: PixelPolygon | undefined;
  readonly dab: PixelCircle | undefined;
  readonly glaze: PixelCircle | undefined;
  readonly dabOn: 'piece' | 'tile';
  /** Paint changes as it dries: the reading says which it was. */
  readonly film: FilmState;
  readonly target: PointTarget;
  readonly closeUp: boolean;
  readonly live: LiveView | undefined;
  /** The tile's light against the session's first. */
  readonly drift: Drift;
  readonly held: HeldReading | undefined;
  /** Why the last press of Read gave no reading. */
  readonly refused: readonly Refusal[];
  readonly busy: 'reading' | 'saving' | undefined;
  readonly nudge: NudgeState;
  /** Set while a pigment is read on the tile instead of a dab on the piece. */
  readonly characterising: Characterising | undefined;
  /** Newest mix last; the last one is in the pot. */
  readonly mixes: readonly Attempt[];
  readonly readings: readonly SavedReading[];
  readonly notice: Notice | undefined;
  /** Something went wrong that the person must know of: storage, a worker, the record. */
  readonly trouble: string | undefined;
  readonly singleKeys: boolean;
}

export const EMPTY_NUDGE: NudgeState = {
  suggestions: [],
  chosen: 0,
  message: 'After a reading, the next addition is suggested here.',
};

/** What a reading brings is not there. */
export const NOTHING_READ: Pick<BenchState, 'held' | 'refused' | 'nudge'> = {
  held: undefined,
  refused: [],
  nudge: EMPTY_NUDGE,
};

export const INITIAL: BenchState = {
  ...NOTHING_READ,
  place: undefined,
  palette: undefined,
  settings: undefined,
  cameras: [],
  feed: { kind: 'demo', status: 'starting', label: 'Demo bench', width: 0, height: 0 },
  engine: 'loading',
  tile: undefined,
  dab: undefined,
  glaze: undefined,
  dabOn: 'piece',
  film: 'wet',
  target: 'dab',
  closeUp: false,
  live: undefined,
  drift: STEADY,
  busy: undefined,
  characterising: undefined,
  mixes: [],
  readings: [],
  notice: undefined,
  trouble: undefined,
  singleKeys: true,
};

/** Whether it is another picture or the same: what was marked in one means nothing in another. */
export const pictureShown = ({ feed }: Pick<BenchState, 'feed'>): unknown =>
  feed.stream ?? feed.address;

/** A reading is held that is in no record yet. */
export const isReadingUnsaved = ({ held }: Pick<BenchState, 'held'>): boolean =>
  held !== undefined && !held.saved;

/**
 * The mixes of the pot that is on the bench, oldest first: from this palette, since the pot was last
 * stated as a whole. What was in another pot before says nothing about this one's additions.
 */
export function potMixes({ mixes, palette }: Pick<BenchState, 'mixes' | 'palette'>) {
  const own = mixes.slice(mixes.findLastIndex((mix) => mix.palette !== palette?.id) + 1);
  const start = own.findLastIndex(({ addition }) => Object.keys(addition).length === 0);
  return own.slice(Math.max(0, start));
}

/** What is in the pot now, g by pigment id; empty before the first mix. */
export function potOf(state: Pick<BenchState, 'mixes' | 'palette'>): PotGrams {
  return potMixes(state).at(-1)?.pot ?? {};
}

/** What a held reading used, where it lies in the whole frame. */
export function evidenceInFrame({ result, offset }: HeldReading) {
  const { dabOutline, ring } = result.evidence;
  const move = <P extends PixelPoint>(p: P): P => ({ ...p, x: p.x + offset.x, y: p.y + offset.y });
  return {
    dabOutline: dabOutline.map(move),
    ...(ring && { ring: { inner: move(ring.inner), outer: move(ring.outer) } }),
  };
}
