/**
 * What the readings of a pot should be, had the unknowns these values: the theory's side of the estimate
 * in `belief.ts`, and its slopes.
 */
import type { LabD65 } from '../colour/spaces.ts';
import type { Assumed } from './assumed.ts';
import { coefficientSlopes, spectraAt, type Characterised } from './characterise.ts';
import { dosesOf, keptSince, type Dose, type PotOf } from './doses.ts';
import { Film, type Believed } from './film.ts';
import type { Saunderson } from './kubelka-munk.ts';
import { inLight, lightSlope } from './light.ts';
import { TERMS } from './spectral-prior.ts';
import type { Strength } from './types.ts';

/** A pot and its reading. */
export interface ReadPot extends PotOf {
  readonly lab: LabD65;
}

/** What one set of values of the unknowns means. */
export interface Guess {
  readonly believed: readonly Believed[];
  /** What each dose was, g. */
  readonly given: readonly number[];
  /** ln of the light on the piece over what the readings reckoned with. */
  readonly logLight: number;
}

/** Unknowns of one pigment: its open coefficients, then its strength. */
const PER_PIGMENT = TERMS + 1;

/**
 * The unknowns, all scaled to N(0, 1), stand in this order: those of each pigment that was ever in the
 * pot, then the doses, then the light.
 */
export class PotModel {
  readonly doses: readonly Dose[];
  readonly film: Film;
  /** Number of unknowns. */
  readonly n: number;
  /** Column of the first dose. */
  readonly firstDose: number;
  readonly #pigments: readonly Characterised[];
  readonly #strengths: readonly Strength[];
  readonly #readings: readonly ReadPot[];
  readonly #light: number;
  readonly #kept: (from: number, at: number) => number;
  /** Pigments that were ever in the pot, in the order of the palette. */
  readonly #active: readonly number[];

  constructor(
    pigments: readonly Characterised[],
    strengths: readonly Strength[],
    readings: readonly ReadPot[],
    surface: Saunderson,
    assumed: Assumed,
  ) {
    this.#pigments = pigments;
    this.#strengths = strengths;
    this.#readings = readings;
    this.#light = assumed.light;
    this.#kept = keptSince(readings);
    this.film = new Film(surface);
    this.doses = dosesOf(readings, assumed);
    this.#active = [...new Set(this.doses.map((dose) => dose.pigment))].sort((a, b) => a - b);
    this.firstDose = this.#active.length * PER_PIGMENT;
    this.n = this.firstDose + this.doses.length + 1;
  }

  /** Column of the first unknown of a pigment; undefined for one that was never in the pot. */
  columnOf(pigment: number): number | undefined {
    const block = this.#active.indexOf(pigment);
    return block < 0 ? undefined : block * PER_PIGMENT;
  }

  guess(unknowns: Float64Array): Guess {
    const believed = this.#pigments.map((pigment, index) => {
      const column = this.columnOf(index);
      const { logMean, logSd } = this.#strengths[index]!;
      if (column === undefined) return { K: pigment.K, S: pigment.S, strength: Math.exp(logMean) };
      const coefficients = Float64Array.from(pigment.coefficients);
      const { spread } = pigment;
      for (let j = 0; j < TERMS; j++) {
        const value = unknowns[column + j]!;
        for (let i = j; i < TERMS; i++) coefficients[i]! += value * spread[j * TERMS + i]!;
      }
      const strength = Math.exp(logMean + logSd * unknowns[column + TERMS]!);
      return { ...spectraAt(pigment.prior, coefficients), strength };
    });
    const given = this.doses.map(
      ({ grams, sigma }, d) => grams * Math.exp(sigma * unknowns[this.firstDose + d]!),
    );
    return { believed, given, logLight: this.#light * unknowns[this.n - 1]! };
  }

  /** Grams in the pot at attempt `index`, as dosed, times strength. */
  effectiveAt({ believed, given }: Guess, index: number): Float64Array {
    const amounts = new Float64Array(this.#pigments.length);
    this.doses.forEach((dose, d) => {
      if (dose.from > index) return;
      const grams = given[d]! * this.#kept(dose.from, index);
      amounts[dose.pigment]! += grams * believed[dose.pigment]!.strength;
    });
    return amounts;
  }

  /** The colour of each attempt by the theory. */
  foretold(guess: Guess): readonly LabD65[] {
    return this.#readings.map((_, t) =>
      inLight(this.film.colour(guess.believed, this.effectiveAt(guess, t)), guess.logLight),
    );
  }

  /**
   * ∂Lab/∂unknowns of a mixture `amounts` at attempt `index`, into `rows` of zeros, 3 × n.
   * @returns the mixture's Lab in the light reckoned with; `film` holds its slopes in the light guessed
   */
  slopes(guess: Guess, amounts: Float64Array, index: number, rows: Float64Array): LabD65 {
    const { believed, given, logLight } = guess;
    const { film, n } = this;
    const theoryLab = film.colour(believed, amounts, true);
    const lit = inLight(theoryLab, logLight);
    // All but black goes with the cube root of the light, and what paint does to it likewise.
    const scale = Math.exp(logLight / 3);
    for (let i = 0; i < film.slopes.length; i++) film.slopes[i]! *= scale;
    for (const axis of [0, 1, 2] as const) {
      rows[axis * n + n - 1] = this.#light * lightSlope(lit, axis);
    }
    this.#active.forEach((p, block) => {
      if (!(amounts[p]! > 0)) return;
      film.share(believed[p]!, amounts[p]!);
      const at = block * PER_PIGMENT;
      openSlopes(this.#pigments[p]!, film, rows, n, at);
      for (let axis = 0; axis < 3; axis++) {
        const perLogMass = film.perLogMass(axis);
        rows[axis * n + at + TERMS] = this.#strengths[p]!.logSd * perLogMass;
        this.doses.forEach((dose, d) => {
          if (dose.pigment !== p || dose.from > index) return;
          const grams = given[d]! * this.#kept(dose.from, index);
          const share = (grams * believed[p]!.strength) / amounts[p]!;
          rows[axis * n + this.firstDose + d] = dose.sigma * share * perLogMass;
        });
      }
    });
    return theoryLab;
  }
}

/**
 * ∂Lab/∂(unit unknowns) of a pigment's open coefficients, turned by their spread, into `rows` from
 * `column` on. `film` has just been told the pigment's share.
 */
export function openSlopes(
  pigment: Characterised,
  film: Film,
  rows: Float64Array,
  stride: number,
  column: number,
): void {
  const plain = new Float64Array(3 * TERMS);
  coefficientSlopes(pigment.prior, film.shareK, film.shareS, film.slopes, plain, TERMS, 0);
  const { spread } = pigment;
  for (let j = 0; j < TERMS; j++) {
    let L = 0;
    let a = 0;
    let b = 0;
    for (let i = j; i < TERMS; i++) {
      const part = spread[j * TERMS + i]!;
      L += plain[i]! * part;
      a += plain[TERMS + i]! * part;
      b += plain[2 * TERMS + i]! * part;
    }
    rows[column + j] = L;
    rows[stride + column + j] = a;
    rows[2 * stride + column + j] = b;
  }
}
