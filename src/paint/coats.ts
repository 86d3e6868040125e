/**
 * How many coats hide, from one coat read over black and over white: Kubelka's finite film solved for
 * K and S, then laid on again and again (Kubelka 1948). X, Y and Z are each taken for one wide band;
 * Saunderson's surface is taken off before and put on again after. Wide bands hide sooner than narrow
 * ones: against full spectra a white comes out right, earths lack a tenth to a quarter of the coats,
 * clear strong colours up to half. So it is the least number of coats that is told.
 */
import { deltaE00 } from '../colour/ciede2000.ts';
import { labFromXyzD65, WHITE_D65, xyzD65FromLab } from '../colour/cielab.ts';
import { xyzD65, type LabD65 } from '../colour/spaces.ts';
import { COMPLETE_HIDING } from './hiding.ts';
import {
  internalReflectance,
  readReflectance,
  reflectanceFromKOverS,
  reflectanceOfFilm,
  SURFACE,
} from './kubelka-munk.ts';

/** One coat over the two halves of a contrast card, and the bare halves, all CIELAB D65/2°. */
export interface CardReading {
  readonly overBlack: LabD65;
  readonly overWhite: LabD65;
  /** The card itself; a usual card where it was not read: black L* 12, white L* 92 (from memory). */
  readonly black?: LabD65;
  readonly white?: LabD65;
}

export const USUAL_CARD = {
  black: [12, 0, 0] as unknown as LabD65,
  white: [92, 0, 0] as unknown as LabD65,
} as const;

export type Coats =
  | {
      readonly ok: true;
      /** Y over black by Y over white of the one coat, 0–1 (ISO 6504-1). */
      readonly contrastRatio: number;
      /** Coats like the one read until the contrast ratio is 0.98, rounded up; ≥ 1. */
      readonly toHide: number;
      /** The same, not rounded. */
      readonly exactly: number;
      /** Coats until it differs over the fill from what it is at full hiding by no more than asked. */
      readonly overFill?: number;
      /** Colour at full hiding. */
      readonly opaque: LabD65;
      /** Lab of so many coats over a ground. */
      readonly over: (ground: LabD65, coats: number) => LabD65;
    }
  | { readonly ok: false; readonly error: string };

/** More coats than this are no plan. */
const MOST_COATS = 40;
/** Half of all observers see no difference: Paravina et al. 2015. */
const IMPERCEPTIBLE = 0.8;

/**
 * @param fill the ground that is to vanish, as read; absent: only the card's 0.98 is answered
 * @param threshold ΔE₀₀ up to which the fill no longer shows through
 */
export function coatsToHide(
  card: CardReading,
  fill?: LabD65,
  threshold: number = IMPERCEPTIBLE,
): Coats {
  const fault = faultOf(card);
  if (fault !== undefined) return { ok: false, error: fault };
  const { overBlack, overWhite, black = USUAL_CARD.black, white = USUAL_CARD.white } = card;
  const bands = [0, 1, 2].map((k) =>
    solved(inside(overBlack, k), inside(overWhite, k), inside(black, k), inside(white, k)),
  );
  const labOf = (internal: (band: Band, k: number) => number): LabD65 => {
    const [X, Y, Z] = bands.map(
      (band, k) => readReflectance(internal(band, k), SURFACE) * WHITE_D65[k]!,
    );
    return labFromXyzD65(xyzD65(X!, Y!, Z!));
  };
  const over = (ground: LabD65, coats: number) =>
    labOf(({ K, S }, k) => reflectanceOfFilm(K, S, coats, inside(ground, k)));
  const opaque = labOf(({ K, S }) => (S > 0 ? reflectanceFromKOverS(K / S) : 0));
  const luminance = (lab: LabD65) => xyzD65FromLab(lab)[1];
  const ratioAt = (coats: number) => luminance(over(black, coats)) / luminance(over(white, coats));
  const exactly = least((coats) => ratioAt(coats) >= COMPLETE_HIDING);
  const fillCoats = fill && least((coats) => deltaE00(over(fill, coats), opaque) <= threshold);
  return {
    ok: true,
    contrastRatio: luminance(overBlack) / luminance(overWhite),
    toHide: Math.max(1, Math.ceil(exactly - 1e-6)),
    exactly,
    ...(fillCoats !== undefined && { overFill: Math.max(1, Math.ceil(fillCoats - 1e-6)) }),
    opaque,
    over,
  };
}

interface Band {
  /** Per coat. */
  readonly K: number;
  readonly S: number;
}

/**
 * K and S per coat of one band, from two readings over two grounds. For every S there is one K that
 * gives the reading over black, from the S on that needs none; the larger S, the more the film hides,
 * and the darker it reads over white.
 */
function solved(overBlack: number, overWhite: number, black: number, white: number): Band {
  const leastS = bisected(
    (S) => reflectanceOfFilm(0, S, 1, black) < overBlack,
    1e-6,
    MOST_PER_COAT,
  );
  const kFor = (S: number) =>
    bisected((K) => reflectanceOfFilm(K, S, 1, black) > overBlack, 0, MOST_PER_COAT);
  const S = bisected(
    (s) => reflectanceOfFilm(kFor(s), s, 1, white) > overWhite,
    leastS,
    MOST_PER_COAT,
  );
  return { K: kFor(S), S };
}

/** No coat scatters or absorbs so much that more would change what is read. */
const MOST_PER_COAT = 1e3;

/** Where `isBelow` turns from true to false between low and high, in equal ratios. */
function bisected(isBelow: (value: number) => boolean, low: number, high: number): number {
  let [a, b] = [Math.max(low, 1e-9), high];
  if (!isBelow(a)) return low;
  for (let i = 0; i < 60; i++) {
    const middle = Math.sqrt(a * b);
    if (isBelow(middle)) a = middle;
    else b = middle;
  }
  return Math.sqrt(a * b);
}

/** The least number of coats that is enough; Infinity when forty are not. */
function least(isEnough: (coats: number) => boolean): number {
  if (!isEnough(MOST_COATS)) return Infinity;
  let [low, high] = [0, MOST_COATS];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (isEnough(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** Internal reflectance of X, Y or Z over its white, 0–1. */
function inside(lab: LabD65, k: number): number {
  const read = Math.min(0.999, Math.max(1e-4, xyzD65FromLab(lab)[k]! / WHITE_D65[k]!));
  return Math.min(0.9999, internalReflectance(read, SURFACE));
}

function faultOf({
  overBlack,
  overWhite,
  black = USUAL_CARD.black,
  white = USUAL_CARD.white,
}: CardReading): string | undefined {
  if (![...overBlack, ...overWhite, ...black, ...white].every(Number.isFinite)) {
    return 'A colour is missing or is no number.';
  }
  if (white[0] - black[0] < 20) return 'The card’s white must be much lighter than its black.';
  if (overBlack[0] > overWhite[0] + 0.3) {
    return 'Over black it reads lighter than over white: are the two swapped?';
  }
  if (overWhite[0] > white[0] + 2) {
    return 'Over white it reads lighter than the white itself: read the bare card too.';
  }
  if (overBlack[0] <= black[0] + 0.2 && overWhite[0] >= white[0] - 0.2) {
    return 'The coat hides nothing: it reads as the bare card.';
  }
  return undefined;
}
