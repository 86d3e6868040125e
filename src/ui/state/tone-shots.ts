/** Shots for a tone response as the person gathers them: what varies, what is typed, what they tell. */
import type { PhotoExposure } from '../../photo/exposure.ts';
import {
  toneFromExposures,
  type ExposedFitResult,
  type ShotExposure,
} from '../../reading/profile/exposed-shots.ts';
import {
  changedIn,
  changedWarning,
  heldWarning,
  timed,
  unlikeWarning,
  type Changed,
} from '../../reading/profile/exposure-check.ts';
import { stepCodes, type StepCodes, type ToneSubject } from '../../reading/profile/step-card.ts';
import { statedValues, toneFromShots, type StatedAs } from '../../reading/profile/tone-profile.ts';
import { polygonCentre } from '../../reading/picture.ts';
import type { EncodedPicture, PixelPoint, PixelPolygon } from '../../reading/types.ts';
import { typedNumber } from '../elements/typed-number.ts';
import { exposureFields, typedAperture, typedIso, typedTime } from './typed-exposure.ts';

export type Varies = 'exposure' | 'distance' | 'nothing';

export interface TypedShot {
  readonly name: string;
  readonly picture: EncodedPicture;
  /** Exposure time or lamp distance as typed, or as the photograph says; only ratios count. */
  readonly typed: string;
  /** The same of f-number and ISO; asked for only where they changed. */
  readonly fNumber: string;
  readonly iso: string;
  /** What the photograph says of its exposure; `nothing` when it says nothing; absent: no photograph. */
  readonly said?: PhotoExposure | 'nothing';
}

export interface TonePlan {
  readonly subject: ToneSubject;
  readonly varies: Varies;
  /** Values of the card as typed; empty: not known. */
  readonly values: string;
  readonly as: StatedAs;
  readonly shots: readonly TypedShot[];
}

export interface ToneOutcome {
  /** What each shot shows at the marks, in the shots' order. */
  readonly seen: readonly StepCodes[];
  /** What changed beside the time, and so must be known of every shot. */
  readonly changed: Changed;
  readonly warnings: readonly string[];
  readonly result: ExposedFitResult;
}

const fault = (message: string): ExposedFitResult => ({ ok: false, message });
/** What the photograph says of its exposure. */
export const saidBy = ({ said }: TypedShot): PhotoExposure | undefined =>
  said === 'nothing' ? undefined : said;

/** A shot of this moment. @param typed its time, where that is known */
export function shotNow(name: string, picture: EncodedPicture, typed = ''): TypedShot {
  return { name, picture, ...exposureFields(undefined), typed };
}

/** A photograph, with what it says of its exposure. */
export function shotOfPhoto(
  name: string,
  photo: { readonly picture: EncodedPicture; readonly exposure?: PhotoExposure },
  varies: Varies,
): TypedShot {
  const { picture, exposure } = photo;
  const fields = { ...exposureFields(exposure), said: exposure ?? 'nothing' } as const;
  return retyped({ name, picture: thinned(picture), ...fields }, varies);
}

/** What a shot says of itself stands in its fields again; what was typed of another kind does not. */
export function retyped(shot: TypedShot, varies: Varies): TypedShot {
  const fields = varies === 'exposure' && shot.said ? exposureFields(saidBy(shot)) : { typed: '' };
  return { ...shot, ...fields };
}

/**
 * Marks to begin dragging from: on the tile where it is known to be, a card's about the middle.
 * @param tile in a picture of the same bench that is `width` px wide
 */
export function firstMarks(
  kind: ToneSubject['kind'],
  picture: Pick<EncodedPicture, 'width' | 'height'>,
  tile: PixelPolygon | undefined,
  width: number,
): readonly PixelPoint[] {
  const at = (u: number, v: number) => ({ x: u * picture.width, y: v * picture.height });
  if (kind === 'card') return [at(0.2, 0.5), at(0.8, 0.5)];
  if (!tile || width === 0) return [at(0.5, 0.5)];
  const scale = picture.width / width;
  const { x, y } = polygonCentre(tile);
  return [{ x: scale * x, y: scale * y }];
}

export function toneOutcome(plan: TonePlan): ToneOutcome {
  const { subject, varies, shots } = plan;
  const seen = shots.map(({ picture }) => stepCodes(picture, subject));
  const all = changedIn(shots.map(saidBy));
  const changed = varies === 'exposure' ? all : { fNumber: false, iso: false };
  const places = seen.map((codes) => (codes.ok ? codes.places : []));
  const exposures = shots.map((shot) => exposureOf(shot, changed));
  const warnings =
    varies === 'exposure'
      ? [
          ...changedWarning(changed),
          // A card of known values may be turned from shot to shot: its places are not the same then.
          ...(plan.values.trim() === '' || subject.kind === 'tile'
            ? unlikeWarning(
                shots.flatMap(({ name }, i) =>
                  missing(exposures[i]!, changed) === undefined
                    ? [{ name, places: places[i]!, exposure: exposures[i]! }]
                    : [],
                ),
                `the ${subject.kind}`,
              )
            : []),
        ]
      : heldWarning(shots.map((shot) => timed(saidBy(shot))));
  return { seen, changed, warnings, result: resultOf(plan, seen, exposures, changed) };
}

/** As typed: NaN where it is no number. */
function exposureOf({ typed, fNumber, iso }: TypedShot, changed: Changed): ShotExposure {
  return {
    timeS: typedTime(typed),
    ...(changed.fNumber && { fNumber: typedAperture(fNumber) }),
    ...(changed.iso && { iso: typedIso(iso) }),
  };
}

/** What must still be given of a shot. */
function missing(exposure: ShotExposure, changed: Changed): string | undefined {
  if (!(exposure.timeS > 0)) return 'exposure time';
  if (changed.fNumber && !((exposure.fNumber ?? 0) > 0)) return 'f-number';
  return changed.iso && !((exposure.iso ?? 0) > 0) ? 'ISO' : undefined;
}

function resultOf(
  { subject, varies, values, as, shots }: TonePlan,
  seen: readonly StepCodes[],
  exposures: readonly ShotExposure[],
  changed: Changed,
): ExposedFitResult {
  if (shots.length === 0) return fault('There is no shot yet.');
  const [first] = shots;
  const other = shots.find(
    ({ picture: { width, height } }) =>
      width !== first!.picture.width || height !== first!.picture.height,
  );
  if (other) {
    return fault(
      `${other.name} has another size than ${first!.name}: the camera must stand still.`,
    );
  }
  const bad = seen.findIndex(({ ok }) => !ok);
  if (bad >= 0) return fault(`${shots[bad]!.name}: ${(seen[bad] as { message: string }).message}`);
  const distances = shots.map(({ typed }) => (varies === 'distance' ? typedNumber(typed) : 1));
  for (const [i, { name }] of shots.entries()) {
    const what =
      varies === 'exposure'
        ? missing(exposures[i]!, changed)
        : distances[i]! > 0
          ? undefined
          : 'lamp distance';
    if (what) return fault(`Give the ${what} of ${name}.`);
  }
  let known: readonly number[] | undefined;
  if (subject.kind === 'card' && values.trim() !== '') {
    const stated = statedValues(values, as, subject.steps);
    if (!stated.ok) return stated;
    known = stated.reflectance;
  }
  const places = seen.map((codes) => (codes.ok ? codes.places : []));
  if (varies === 'exposure') {
    return toneFromExposures(
      places.map((codes, i) => ({ places: codes, exposure: exposures[i]! })),
      known,
    );
  }
  return toneFromShots(
    places.map((codes, i) => ({ places: codes, light: 1 / distances[i]! ** 2 })),
    known,
  );
}

/** Every nth pixel, so that the longer side is no more than `most`: grain stays as it is, memory does not. */
function thinned(picture: EncodedPicture, most = 1280): EncodedPicture {
  const n = Math.ceil(Math.max(picture.width, picture.height) / most);
  if (n === 1) return picture;
  const width = Math.floor(picture.width / n);
  const height = Math.floor(picture.height / n);
  const from = new Uint32Array(width * height * 4);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      for (let k = 0; k < 4; k++) {
        from[(y * width + x) * 4 + k] = (y * n * picture.width + x * n) * 4 + k;
      }
    }
  }
  const { rgba } = picture;
  const taken =
    rgba instanceof Uint16Array
      ? Uint16Array.from(from, (at) => rgba[at]!)
      : Uint8ClampedArray.from(from, (at) => rgba[at]!);
  return { ...picture, width, height, rgba: taken };
}
