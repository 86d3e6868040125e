/**
 * One pair of glaze and dab read under two lamps: how it differs under each, and how much of that is
 * the lamps' doing. No spectra are known here, only two readings.
 *
 * What the lamps change is the CIE's special metamerism index reckoned from the readings' Lab. The
 * additive correction is taken: the ratios of the multiplicative one magnify the noise of dark dabs.
 * The index is biased upward by noise; what noise alone would give is taken off its square.
 */
import { deltaE00 } from '../colour/ciede2000.ts';
import { metamerismIndexOfLab } from '../colour/metamerism.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { deltaE00Interval, movedBy, sum } from './uncertainty.ts';
import type { Matrix3, Reading, Verdict } from './types.ts';
import { differenceWords } from './words.ts';

/** A reading of the pair, and the lamp it stood under. */
export interface UnderLamp extends Pick<Reading, 'glazeLab' | 'dabLab'> {
  readonly difference: Pick<Reading['difference'], 'lab' | 'deltaE00' | 'covariance'>;
  readonly lamp: string;
  readonly verdict: Pick<Reading['verdict'], 'acceptable'>;
  /** Sources by name; those of older readings may have other names. */
  readonly uncertainty: {
    readonly shares: readonly { readonly source: string; readonly share: number }[];
  };
}

/**
 * holds: not enough of a change to look into. may-change: as much as a change of 2 often reads as,
 * more than one of 1 mostly does. changes: above 1 with 95 % probability.
 */
export type Change = 'holds' | 'may-change' | 'changes';

export interface AcrossLamps {
  /** ΔE₀₀ that the second lamp makes between dab and glaze, the mismatch under the first corrected. */
  readonly index: number;
  readonly interval95: readonly [number, number];
  /** [ΔL*, Δa*, Δb*] of the same, CIELAB D65/2°, with its covariance. */
  readonly change: readonly [number, number, number];
  readonly covariance: Matrix3;
  readonly flag: Change;
  /** What the second lamp does to the dab against the glaze, in a mixer's words, largest first. */
  readonly words: readonly string[];
  /** "Blends under bench lamp, shows under window: greener." */
  readonly sentence: string;
}

/**
 * From here on a change is flagged, of a grey; of a strong colour sooner (`alertness`). Chosen on pairs
 * of the tuning lamps, cameras and paints so that 96 % of true changes above 2 and a fifth of those below 1
 * are (`npm run evaluate -- --lamps --part tune`).
 */
export const FLAG_FROM = 1.25;
/**
 * How much more a change read counts on a strong colour than on a grey. There lamps change more, a camera
 * misreads more of it, and ΔE₀₀ shrinks what is left by the chroma: the changes that were missed had all
 * been read on deep blues.
 */
export const alertness = ([, a, b]: LabD65): number => 1 + Math.hypot(a, b) / 60;
/** A change of 1 ΔE₀₀ is what the eye begins to see; JCGM 106 asks for 95 %. */
const SEEN = 1;
const SURE = 0.95;
/**
 * Between two lamps the lightness of a metameric pair hardly parts (a third of what a* and b* do, on
 * the same pairs), while it is read no better: it counts half.
 */
const LIGHTNESS_COUNTS = 0.5;
/** Errors that two readings of one pair do not share. What tile, tone and turn do, they do twice alike. */
const OWN: ReadonlySet<string> = new Set(['noise', 'shading', 'texture', 'placement', 'highlight']);

/** Compares two readings of the same dab on the same glaze; the first lamp is the reference. */
export function acrossLamps(first: UnderLamp, second: UnderLamp): AcrossLamps {
  const pairOf = ({ glazeLab, dabLab }: UnderLamp) => ({ standard: glazeLab, sample: dabLab });
  const { change } = metamerismIndexOfLab(pairOf(first), pairOf(second), 'additive');
  const both = (sources: (source: string) => boolean) =>
    sum([partOf(first, sources), partOf(second, sources)]);
  const covariance = both((source) => OWN.has(source) || source === 'pigments');
  const { interval95, atMost } = deltaE00Interval({
    glazeLab: second.glazeLab,
    lab: change,
    covariance,
  });
  const index = withoutNoise(
    second.glazeLab,
    change,
    both((source) => OWN.has(source)),
  );
  const flag =
    1 - atMost(SEEN) >= SURE
      ? 'changes'
      : index * alertness(second.glazeLab) >= FLAG_FROM
        ? 'may-change'
        : 'holds';
  const words = differenceWords(second.glazeLab, movedBy(second.glazeLab, change));
  return {
    index,
    interval95: [Math.min(index, interval95[0]), Math.max(index, interval95[1])],
    change,
    covariance,
    flag,
    words,
    sentence: sentenceOf(first, second, flag, words),
  };
}

/** ΔE₀₀ of a change less what noise alone gives on average: the root of the squares' difference. */
function withoutNoise(
  glaze: LabD65,
  [L, a, b]: readonly [number, number, number],
  noise: Matrix3,
): number {
  const scaled = [LIGHTNESS_COUNTS * L, a, b] as const;
  const whole = deltaE00(glaze, movedBy(glaze, scaled)) ** 2;
  // ΔE₀₀² of one standard deviation along each axis, lightness as it counts.
  const chance = [0, 1, 2].reduce((total, k) => {
    const sigma = Math.sqrt(noise[k]![k]!) * (k === 0 ? LIGHTNESS_COUNTS : 1);
    const along: [number, number, number] = [0, 0, 0];
    along[k] = sigma;
    return total + deltaE00(glaze, movedBy(glaze, along)) ** 2;
  }, 0);
  return Math.sqrt(Math.max(0, whole - chance));
}

/** The part of a reading's covariance that some sources make: their share of it. */
function partOf(
  { difference, uncertainty }: UnderLamp,
  counts: (source: string) => boolean,
): Matrix3 {
  const share = uncertainty.shares
    .filter(({ source }) => counts(source))
    .reduce((total, one) => total + one.share, 0);
  return difference.covariance.map((row) => row.map((v) => v * share)) as unknown as Matrix3;
}

function sentenceOf(
  first: UnderLamp,
  second: UnderLamp,
  flag: Change,
  words: readonly string[],
): string {
  const direction = words.length > 0 ? `: ${words.slice(0, 2).join(', ')}` : '';
  const [a, b] = [first.verdict.acceptable, second.verdict.acceptable];
  const how = `${capital(SAYS[a])} under ${first.lamp}, ${SAYS[b]} under ${second.lamp}`;
  if (flag === 'holds') {
    return a === b && a !== 'unsure'
      ? `${capital(SAYS[a])} under ${first.lamp} and under ${second.lamp}: the lamps make no difference that can be told.`
      : `${how}; what lies between the lamps is within what the readings can tell.`;
  }
  if (a === b && a === 'blends') {
    return `Blends under both, yet turns from ${first.lamp} to ${second.lamp}${direction}.`;
  }
  const turned = a === b ? `${how}; there it turns${direction.replace(':', '')}` : how + direction;
  return `${turned}.${flag === 'may-change' ? ' Not sure: read again under both.' : ''}`;
}

const SAYS: Readonly<Record<Verdict, string>> = {
  blends: 'blends',
  shows: 'shows',
  unsure: 'may show',
};

const capital = (word: string) => word.charAt(0).toUpperCase() + word.slice(1);
