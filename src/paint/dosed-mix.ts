/** A mix from nothing as a hand can make it: whole doses, and what comes of those. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { bestRounded } from './batch-rounding.ts';
import { choiceOf, harmlessChoiceOf, HAZARD_WORTH, isHazardous } from './choice.ts';
import { compose } from './compose.ts';
import { Film, type Believed } from './film.ts';
import type { Hand } from './hand.ts';
import { SURFACE } from './kubelka-munk.ts';
import { dosedWith, withDilutions, type Dosed } from './pre-dilution.ts';
import type { PalettePigment } from './types.ts';

export interface DosedMix extends Dosed {
  /** What the doses come to, by the theory, and its ΔE₀₀ from the glaze. */
  readonly lab: LabD65;
  readonly deltaE00: number;
  /** Grams in all. */
  readonly mass: number;
}

export interface Wanted {
  readonly glazeLab: LabD65;
  /** Grams of paint. */
  readonly amount: number;
  readonly hand: Hand;
}

/** A batch is made at most this much larger for the sake of a pigment that could not be dosed else. */
const LARGEST_BATCH = 2;
/** What a finer hand must gain, ΔE₀₀, for a dilution or a larger batch to be worth its trouble. */
const WORTH_TROUBLE = 0.3;
/** What a simpler recipe may be further off, ΔE₀₀, to be offered beside the nearest. */
const SIMPLER = 0.5;
/** What each paint, each dilution and each batch's mass too much cost, in ΔE₀₀². */
const TOUCH_COST = 0.1;
const MASS_COST = 1;

/**
 * Mixes like the glaze from paints as believed, best first: the nearest for what it takes, and a
 * simpler one that comes about as near, if there is one. Without hazardous pigments where that costs
 * no more than ΔE₀₀ 0.3.
 */
export function dosedMixes(
  palette: readonly PalettePigment[],
  pigments: readonly Believed[],
  wanted: Wanted,
): readonly [DosedMix, ...DosedMix[]] {
  const bench = new MixBench(palette, pigments, wanted);
  const all = choiceOf(palette, pigments);
  const sorted = bench.mixesOf(all);
  let [best] = sorted as [DosedMix, ...DosedMix[]];
  if (all.some((p) => best.grams[p]! > 0 && isHazardous(palette[p]!))) {
    const harmless = harmlessChoiceOf(palette, pigments);
    const [other] = harmless.length > 0 ? bench.mixesOf(harmless) : [];
    if (other && other.deltaE00 <= best.deltaE00 + HAZARD_WORTH) {
      sorted.unshift(other);
      best = other;
    }
  }
  const used = all.filter((p) => best.grams[p]! > 0);
  const simpler =
    used.length < 3
      ? []
      : used
          .map((p) => bench.plain(used.filter((q) => q !== p)))
          .sort((a, b) => a.deltaE00 - b.deltaE00)
          .slice(0, 1);
  const others = [...simpler, ...sorted]
    .filter((mix) => mix !== best && mix.deltaE00 < best.deltaE00 + SIMPLER)
    .filter(({ grams }) => grams.some((value, p) => value !== best.grams[p]));
  return [best, ...others.slice(0, 1)];
}

/** What all mixes of one request share. */
class MixBench {
  readonly #palette: readonly PalettePigment[];
  readonly #wanted: Wanted;
  readonly #paints: ReturnType<typeof withDilutions>;
  readonly #film = new Film(SURFACE);

  constructor(palette: readonly PalettePigment[], pigments: readonly Believed[], wanted: Wanted) {
    this.#palette = palette;
    this.#wanted = wanted;
    this.#paints = withDilutions(palette, pigments);
  }

  /** The mixes of some of the palette, best first; at least one. */
  mixesOf(among: readonly number[]): DosedMix[] {
    const plain = this.plain(among);
    const { of } = this.#paints;
    const diluted = of.flatMap((p, i) => (among.includes(p) ? [this.#palette.length + i] : []));
    if (plain.deltaE00 < WORTH_TROUBLE || diluted.length === 0) return [plain];
    const { amount, hand } = this.#wanted;
    const finer = this.#composed([...among, ...diluted]);
    const mixes = [plain, ...(hand.mayPreDilute ? [this.#rounded(finer, amount)] : [])];
    // The same without the dilution, in a batch that is large enough for what is scarcest.
    const shares = this.#undiluted(finer);
    const scarcest = Math.min(...shares.filter((share) => share > 0)) * amount;
    const larger = hand.smallest / scarcest;
    if (larger > 1 && larger <= LARGEST_BATCH) mixes.push(this.#rounded(shares, amount * larger));
    return mixes
      .filter((mix) => mix === plain || mix.deltaE00 < plain.deltaE00 - WORTH_TROUBLE)
      .sort((a, b) => this.#costOf(a) - this.#costOf(b));
  }

  /** The nearest mix of nothing but paints as they are. */
  plain(among: readonly number[]): DosedMix {
    return this.#rounded(this.#composed(among), this.#wanted.amount);
  }

  #composed(among: readonly number[]): Float64Array {
    const { glazeLab, amount, hand } = this.#wanted;
    const grounds = among.filter((p) => p < this.#palette.length);
    const { pigments } = this.#paints;
    return compose(pigments, glazeLab, hand.smallest / amount, among, grounds).shares;
  }

  /** Shares of paints and dilutions as shares of paints alone. */
  #undiluted(shares: Float64Array): Float64Array {
    const { of, white } = this.#paints;
    const fine: Hand = { smallest: 1e-9 };
    return dosedWith({ of, white }, this.#palette, shares, fine).grams;
  }

  /** Shares in whole doses of the batch that rounds well; not too little of it. */
  #rounded(shares: Float64Array, amount: number): DosedMix {
    const { hand } = this.#wanted;
    const matched = this.#colour(this.#undiluted(shares));
    const best = bestRounded((factor) => {
      const grams = shares.map((share) => share * amount * factor);
      const dosed = dosedWith(this.#paints, this.#palette, grams, hand);
      const lab = this.#colour(dosed.grams);
      return { dosed, lab, roundingDeltaE00: deltaE00(matched, lab) };
    });
    const { dosed, lab } = best!;
    const mass = dosed.grams.reduce((sum, value) => sum + value, 0);
    return { ...dosed, lab, deltaE00: deltaE00(this.#wanted.glazeLab, lab), mass };
  }

  #colour(grams: Float64Array): LabD65 {
    return this.#film.colourOfGrams(this.#paints.pigments, grams);
  }

  #costOf({ deltaE00: off, grams, preDiluted, mass }: DosedMix): number {
    const touches = grams.filter((value) => value > 0).length + preDiluted.length;
    const excess = Math.max(0, mass / this.#wanted.amount - 1);
    return off ** 2 + TOUCH_COST * touches + MASS_COST * excess;
  }
}
