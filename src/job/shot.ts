/** How the picture of a record was taken: the same for a reading and for a blend map. */
import * as v from 'valibot';
import { FILM_STATES, type FilmState } from '../paint/drying.ts';
import type { Drift } from '../reading/drift.ts';
import type { CameraProfile } from '../reading/profile/profile.ts';
import type { VerdictThresholds } from '../reading/types.ts';
import { idOf } from './commission.ts';
import {
  count,
  line,
  number,
  recordOf,
  text,
  thresholds,
  tileAsUsed,
  titled,
  type Frozen,
  type tile,
} from './fields.ts';
import type { Id } from './ids.ts';

const camera = v.strictObject({
  label: titled('label of the camera', text(200)),
  /** What the browser said of the track when the reading was made: exposure, white balance … */
  settings: titled(
    'settings of the camera',
    recordOf(line(80), v.union([text(500), v.pipe(v.number(), v.finite()), v.boolean()])),
  ),
});

const profileUsed = v.strictObject({
  name: line(80),
  kind: v.picklist(['tone', 'tone and colour']),
  madeOn: line(40),
});

const drift = v.strictObject({
  kind: titled('kind of drift', v.picklist(['drift', 'step'])),
  /** Light now over light at first, less 1. */
  light: titled('change of light', number(-1, 1000)),
  red: titled('change of ln R/G', number(-10, 10)),
  blue: titled('change of ln B/G', number(-10, 10)),
});

/** Where a picture came from, in words. */
export const SOURCE_NAMES = { live: 'live', photo: 'photograph', demo: 'demo bench' } as const;

export const shotFields = {
  /** The mix whose dab was read or that was sprayed; absent for one of no record. */
  attempt: v.exactOptional(titled('attempt', idOf('attempt'))),
  /** Paint darkens or lightens as it dries: the same may be read twice. */
  film: titled('wet or dry', v.picklist(FILM_STATES)),
  source: titled('source of the picture', v.picklist(['live', 'photo', 'demo'])),
  camera: titled('camera', camera),
  lamp: titled('lamp', text(80)),
  /** Name and kind of the camera profile it was read by; absent: none, sRGB was assumed. */
  profile: v.exactOptional(titled('camera profile', profileUsed)),
  /** The tile's light against the session's first, when it had changed by then. */
  drift: v.exactOptional(titled('drift of the light', drift)),
  /** Camera frames averaged. */
  frames: titled('frames averaged', count(1, 100_000)),
  width: titled('width of the picture in pixels', count(1, 100_000)),
  height: titled('height of the picture in pixels', count(1, 100_000)),
  tile: titled('tile', tileAsUsed),
  thresholds: titled('thresholds', thresholds),
};

/** The part of the picture that is kept, in pixels. */
export const crop = titled(
  'crop',
  v.strictObject({
    x: count(0, 100_000),
    y: count(0, 100_000),
    width: count(1, 100_000),
    height: count(1, 100_000),
  }),
);

/** What is known about a picture besides what was read in it. */
export interface ShotContext {
  /** When the picture was taken, UTC. */
  readonly at: Date;
  readonly attempt?: Id<'attempt'>;
  readonly film: FilmState;
  readonly source: 'live' | 'photo' | 'demo';
  readonly cameraLabel: string;
  /** As `MediaStreamTrack.getSettings()` gives them; only words, numbers and yes/no are kept. */
  readonly cameraSettings: object;
  readonly lamp: string;
  /** The camera profile it was read by; absent: none. */
  readonly profile?: CameraProfile;
  /** Absent or steady: nothing is kept of it. */
  readonly drift?: Drift;
  readonly picture: { readonly width: number; readonly height: number; readonly frames: number };
  readonly tile: Frozen<v.InferOutput<typeof tile>>;
  readonly thresholds: VerdictThresholds;
  readonly note?: string;
}

/** The part of a record that says how its picture was taken, but for the tile as it was found. */
export function shotOf(context: ShotContext) {
  const { attempt, film, source, cameraLabel, cameraSettings, lamp, picture } = context;
  const at = context.at.toISOString();
  return {
    createdAt: at,
    updatedAt: at,
    ...(attempt && { attempt }),
    film,
    source,
    camera: { label: cameraLabel.slice(0, 200), settings: plainSettings(cameraSettings) },
    lamp,
    ...profileOf(context),
    ...driftOf(context),
    frames: picture.frames,
    width: picture.width,
    height: picture.height,
    thresholds: context.thresholds,
    note: context.note ?? '',
  };
}

function profileOf({ profile }: ShotContext) {
  if (!profile) return {};
  const { name, madeOn, colour } = profile;
  return { profile: { name, kind: colour ? 'tone and colour' : 'tone', madeOn } as const };
}

function driftOf({ drift: now }: ShotContext) {
  if (!now || now.kind === 'steady') return {};
  const { kind, light, red, blue } = now;
  return { drift: { kind, light, red, blue } };
}

/** Settings that say how the picture was taken; ids that only tell devices apart are left out. */
function plainSettings(settings: object): v.InferOutput<typeof camera>['settings'] {
  const kept = Object.entries(settings as Record<string, string | number | boolean>).filter(
    ([name, value]) =>
      !['deviceId', 'groupId'].includes(name) &&
      (typeof value === 'boolean' ||
        (typeof value === 'number' && Number.isFinite(value)) ||
        (typeof value === 'string' && value.length <= 500)),
  );
  return Object.fromEntries(kept);
}
