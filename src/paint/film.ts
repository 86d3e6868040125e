/** An opaque film of several pigments: its colour, and how that moves with what is in it. */
import { BANDS } from '../colour/grid.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import type { Saunderson } from './kubelka-munk.ts';

/** A pigment as believed after the readings. */
export interface Believed {
  readonly K: Float64Array;
  readonly S: Float64Array;
  /** Factor on its mass. */
  readonly strength: number;
}

/** An opaque film being reckoned: scratch space and the shares of one pigment in it. */
export class Film {
  readonly slopes = new Float64Array(3 * BANDS);
  readonly shareK = new Float64Array(BANDS);
  readonly shareS = new Float64Array(BANDS);
  readonly #K = new Float64Array(BANDS);
  readonly #S = new Float64Array(BANDS);
  readonly #kOverS = new Float64Array(BANDS);
  readonly #surface: Saunderson;

  constructor(surface: Saunderson) {
    this.#surface = surface;
  }

  /** Duncan 1940: K and S of a mixture are the sums by mass. */
  colour(pigments: readonly Believed[], amounts: Float64Array, withSlopes = false): LabD65 {
    const bands = BANDS;
    this.#K.fill(0);
    this.#S.fill(0);
    pigments.forEach(({ K, S }, p) => {
      const amount = amounts[p]!;
      if (!(amount > 0)) return;
      addTo(this.#K, K, amount);
      addTo(this.#S, S, amount);
    });
    for (let band = 0; band < bands; band++) this.#kOverS[band] = this.#K[band]! / this.#S[band]!;
    return labOfOpaqueFilm(this.#kOverS, this.#surface, withSlopes ? this.slopes : undefined);
  }

  /** The same of grams, each pigment's strength on top. */
  colourOfGrams(pigments: readonly Believed[], grams: Float64Array): LabD65 {
    return this.colour(
      pigments,
      grams.map((value, p) => value * pigments[p]!.strength),
    );
  }

  /** The part of one pigment in the K and in the S of the film last reckoned. */
  share({ K, S }: Believed, amount: number): void {
    const bands = BANDS;
    for (let band = 0; band < bands; band++) {
      this.shareK[band] = (amount * K[band]!) / this.#K[band]!;
      this.shareS[band] = (amount * S[band]!) / this.#S[band]!;
    }
  }

  /** ∂Lab/∂ln mass of the pigment last given to `share`. */
  perLogMass(axis: number): number {
    const bands = BANDS;
    let sum = 0;
    for (let band = 0; band < bands; band++) {
      sum += this.slopes[axis * bands + band]! * (this.shareK[band]! - this.shareS[band]!);
    }
    return sum;
  }
}

/** Adds so much of a pigment's K or S to a mixture's. */
export function addTo(sum: Float64Array, values: Float64Array, amount: number): void {
  for (let band = 0; band < sum.length; band++) sum[band]! += amount * values[band]!;
}
