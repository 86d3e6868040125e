/** Shots for a tone response as the person gathers them: what varies, what is typed, what they tell. */
import { stepCodes, type StepCodes, type ToneSubject } from '../../reading/profile/step-card.ts';
import {
  statedValues,
  toneFromShots,
  type StatedAs,
  type ToneFitResult,
  type ToneShot,
} from '../../reading/profile/tone-profile.ts';
import type { EncodedPicture } from '../../reading/types.ts';
import { typedNumber } from '../elements/typed-number.ts';

export type Varies = 'exposure' | 'distance' | 'nothing';

export interface TypedShot {
  readonly name: string;
  readonly picture: EncodedPicture;
  /** Exposure time or lamp distance as typed; only ratios count. */
  readonly typed: string;
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
  readonly result: ToneFitResult;
}

const fault = (message: string): ToneFitResult => ({ ok: false, message });

export function toneOutcome(plan: TonePlan): ToneOutcome {
  const { subject, varies, shots } = plan;
  const seen = shots.map(({ picture }) => stepCodes(picture, subject));
  return { seen, result: resultOf(plan, seen, varies) };
}

function resultOf(
  { subject, values, as, shots }: TonePlan,
  seen: readonly StepCodes[],
  varies: Varies,
): ToneFitResult {
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
  const lights: number[] = [];
  for (const { name, typed } of shots) {
    const value = varies === 'nothing' ? 1 : typedNumber(typed);
    if (!(value > 0)) {
      const what = varies === 'exposure' ? 'exposure time' : 'lamp distance';
      return fault(`Give the ${what} of ${name}.`);
    }
    lights.push(varies === 'distance' ? 1 / value ** 2 : value);
  }
  let known: readonly number[] | undefined;
  if (subject.kind === 'card' && values.trim() !== '') {
    const stated = statedValues(values, as, subject.steps);
    if (!stated.ok) return stated;
    known = stated.reflectance;
  }
  const told: ToneShot[] = seen.map((codes, i) => ({
    places: codes.ok ? codes.places : [],
    light: lights[i]!,
  }));
  return toneFromShots(told, known);
}

/** Every nth pixel, so that the longer side is no more than `most`: grain stays as it is, memory does not. */
export function thinned(picture: EncodedPicture, most = 1280): EncodedPicture {
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
