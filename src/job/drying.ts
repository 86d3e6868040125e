/** What dabs that were read wet and dry taught a palette, and what that says of the next. */
import * as v from 'valibot';
import { deltaE00 } from '../colour/ciede2000.ts';
import { labD65, type LabD65 } from '../colour/spaces.ts';
import {
  Drying,
  FILM_STATES,
  FINISHES,
  type FilmState,
  type Finish,
  type Shift,
} from '../paint/drying.ts';
import { idOf } from './commission.ts';
import { number, titled, type Frozen } from './fields.ts';
import type { Id } from './ids.ts';
import type { ReadingRecord } from './reading-record.ts';

const difference = number(-200, 200);
/** One dab of a mix read in two states. */
export const dried = v.strictObject({
  attempt: titled('mix that was read in two states', idOf('attempt')),
  finish: v.exactOptional(titled('finish', v.picklist(FINISHES))),
  from: titled('first state', v.picklist(FILM_STATES)),
  to: titled('second state', v.picklist(FILM_STATES)),
  shift: titled(
    'shift',
    v.strictTuple([
      titled('ΔL*', difference),
      titled('Δa*', difference),
      titled('Δb*', difference),
    ]),
  ),
});
export type Dried = Frozen<v.InferOutput<typeof dried>>;

/** So many dabs are remembered; older ones go. */
const MOST = 200;

interface WithDried {
  readonly finish?: Finish;
  readonly dried?: readonly Dried[];
}

/** What the palette knows of drying, for the finish it is set to. */
export function dryingOf({ finish, dried: all = [] }: WithDried): Drying {
  return new Drying(all.filter((one) => one.finish === finish));
}

/**
 * The palette with what the readings of one mix teach, in place of what they taught before: each state
 * against the next later one that was read, under the same lamp, newest readings only. Differences
 * from the glaze are compared, so that the light of the shots does not enter.
 */
export function withDried<P extends WithDried>(
  palette: P,
  attempt: Id<'attempt'>,
  readings: readonly ReadingRecord[],
): P {
  const own = readings.filter((one) => one.attempt === attempt && one.pointed.dabOn === 'piece');
  const lamp = own.at(-1)?.lamp;
  const read = FILM_STATES.flatMap((film) => {
    const newest = own.findLast((one) => one.film === film && one.lamp === lamp);
    return newest ? [{ film, lab: newest.difference.lab }] : [];
  });
  const { finish } = palette;
  const taught = read.slice(1).map(({ film, lab }, i): Dried => {
    const before = read[i]!;
    return {
      attempt,
      ...(finish && { finish }),
      from: before.film,
      to: film,
      shift: [0, 1, 2].map((k) => lab[k]! - before.lab[k]!) as [number, number, number],
    };
  });
  const others = (palette.dried ?? []).filter((one) => one.attempt !== attempt);
  if (taught.length === 0 && others.length === (palette.dried ?? []).length) return palette;
  return { ...palette, dried: [...others, ...taught].slice(-MOST) };
}

/** The state the work is to end in: under the coat where one was ever read, else dry. */
export function goalOf({ finish, dried: all = [] }: WithDried): FilmState {
  return all.some((one) => one.finish === finish && one.to === 'coated') ? 'coated' : 'dry';
}

/**
 * A dab's colour as it will be in another state, when the palette has learned of the way there;
 * undefined while it has not, or when there is no way to go.
 */
export function driedLab(
  palette: WithDried,
  dabLab: LabD65,
  from: FilmState,
  to: FilmState = goalOf(palette),
): { readonly lab: LabD65; readonly shift: Shift } | undefined {
  const shift = dryingOf(palette).shift(from, to);
  if (from === to || shift.pairs === 0) return undefined;
  const [L, a, b] = shift.lab;
  return { lab: labD65(dabLab[0] + L, dabLab[1] + a, dabLab[2] + b), shift };
}

/** "A wet dab: when dry it should read ΔE₀₀ 1.2 (0.6 to 2.4), by 3 dabs of this palette." */
export function dryingInWords(
  palette: WithDried,
  { glazeLab, dabLab, film }: Pick<ReadingRecord, 'glazeLab' | 'dabLab' | 'film'>,
  number1: (value: number) => string = (value) => value.toFixed(1),
): string {
  const goal = goalOf(palette);
  if (film === goal || film === 'coated') return '';
  const state = film === 'dry' ? 'not coated yet' : film === 'wet' ? 'wet' : 'only touch-dry';
  const expected = driedLab(palette, dabLab, film, goal);
  if (!expected) {
    return film === 'dry'
      ? ''
      : `The dab was ${state}: paint usually dries darker. Read it again when it is dry, and the palette learns by how much.`;
  }
  const { lab, shift } = expected;
  // The corners of one and two standard deviations along each axis tell how far it may be off.
  const ends = [-1.96, 1.96].flatMap((z) =>
    [0, 1, 2].map((axis) =>
      deltaE00(
        glazeLab,
        labD65(
          ...(lab.map((value, k) => (k === axis ? value + z * shift.sigma[k]! : value)) as [
            number,
            number,
            number,
          ]),
        ),
      ),
    ),
  );
  const read = deltaE00(glazeLab, lab);
  const [low, high] = [Math.min(read, ...ends), Math.max(read, ...ends)].map(number1);
  const many = shift.pairs === 1 ? '1 dab' : `${shift.pairs} dabs`;
  return `The dab was ${state}: ${goal} it should read ΔE₀₀ ${number1(read)} (${low} to ${high}), by ${many} of this palette.`;
}
