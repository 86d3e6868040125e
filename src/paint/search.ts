/**
 * Which additions bring the dab nearest to the glaze: additions only, none smaller than a hand can
 * dose, the pot growing no more than allowed. Every single pigment is tried, then pairs, threes and
 * fours built on the best, each solved by a bounded Levenberg–Marquardt on what is expected of
 * ΔE₀₀² — the hand's error included, so that a strong pigment is added a little short.
 */
import { BANDS } from '../colour/grid.ts';
import { labD65, type LabD65 } from '../colour/spaces.ts';
import type { Believed } from './film.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import type { Saunderson } from './kubelka-munk.ts';
import { cholesky, solveCholesky } from './linear-algebra.ts';

export interface SearchLimits {
  /** Smallest dose, g. */
  readonly smallest: number;
  /** Most that may be added in all, g. */
  readonly most: number;
  /** Mass of the pot, g. */
  readonly potGrams: number;
  /** Standard deviation of the logarithm of a dose. */
  readonly dose: number;
  /** What growth by the pot's own mass costs, in ΔE₀₀²: the larger pot is paint to throw away. */
  readonly growthCost: number;
  /** Which pigments may be added, as places in the palette. */
  readonly pigments: readonly number[];
}

/** What is added to: the pot as believed, and how its colour departs from the theory. */
export interface Ground {
  readonly pigments: readonly Believed[];
  /** Grams times strength of each pigment in the pot. */
  readonly effective: Float64Array;
  readonly discrepancyAt: (theoryLab: LabD65) => LabD65;
}

/** Grams of each pigment of `pigments`, and what the search thinks of them. */
export interface Recipe {
  readonly pigments: readonly number[];
  readonly grams: readonly number[];
  readonly cost: number;
}

const MOST_PIGMENTS = 4;

export function searchRecipes(
  ground: Ground,
  glaze: LabD65,
  metric: Float64Array,
  surface: Saunderson,
  limits: SearchLimits,
): Recipe[] {
  const problem = new Problem(ground, glaze, metric, surface, limits);
  const candidates = limits.pigments;
  const found = new Map<string, Recipe>();
  const attempt = (pigments: readonly number[], start?: readonly number[]) => {
    const key = pigments.join();
    if (found.has(key)) return;
    const recipe = problem.solve(pigments, start);
    if (recipe) found.set(key, recipe);
  };
  for (const p of candidates) attempt([p]);
  let beam: Recipe[] = best([...found.values()], 16);
  const widths = [10, 6];
  for (let size = 2; size <= MOST_PIGMENTS; size++) {
    for (const recipe of beam) {
      for (const p of candidates) {
        if (recipe.pigments.includes(p)) continue;
        const joined = [...recipe.pigments, p].sort((a, b) => a - b);
        attempt(
          joined,
          joined.map((q) => recipe.grams[recipe.pigments.indexOf(q)] ?? 0),
        );
      }
    }
    const ofSize = [...found.values()].filter(({ pigments }) => pigments.length === size);
    beam = best(ofSize, widths[size - 2] ?? 0);
  }
  return best([...found.values()], 40);
}

/** The colour expected after `grams` of each pigment of the palette. */
export function colourOf(ground: Ground, surface: Saunderson, grams: Float64Array): LabD65 {
  const none = { smallest: 1, most: 1, potGrams: 1, dose: 0, growthCost: 0, pigments: [] };
  const problem = new Problem(ground, labD65(0, 0, 0), new Float64Array(9), surface, none);
  return problem.colour([...grams.keys()], [...grams]);
}

function best(recipes: Recipe[], count: number): Recipe[] {
  return recipes.sort((a, b) => a.cost - b.cost).slice(0, count);
}

class Problem {
  readonly #K: Float64Array[];
  readonly #S: Float64Array[];
  readonly #baseK = new Float64Array(BANDS);
  readonly #baseS = new Float64Array(BANDS);
  readonly #kOverS = new Float64Array(BANDS);
  readonly #sumK = new Float64Array(BANDS);
  readonly #sumS = new Float64Array(BANDS);
  readonly #slopes = new Float64Array(3 * BANDS);
  readonly #ground: Ground;
  readonly #glaze: LabD65;
  readonly #metric: Float64Array;
  readonly #surface: Saunderson;
  readonly #limits: SearchLimits;

  constructor(
    ground: Ground,
    glaze: LabD65,
    metric: Float64Array,
    surface: Saunderson,
    limits: SearchLimits,
  ) {
    this.#ground = ground;
    this.#glaze = glaze;
    this.#metric = metric;
    this.#surface = surface;
    this.#limits = limits;
    this.#K = ground.pigments.map(({ K, strength }) => K.map((value) => value * strength));
    this.#S = ground.pigments.map(({ S, strength }) => S.map((value) => value * strength));
    ground.pigments.forEach(({ K, S }, p) => {
      for (let band = 0; band < BANDS; band++) {
        this.#baseK[band]! += ground.effective[p]! * K[band]!;
        this.#baseS[band]! += ground.effective[p]! * S[band]!;
      }
    });
  }

  /** Expected colour after adding, and ∂Lab/∂gram of each (3 × k) if asked for. */
  colour(pigments: readonly number[], grams: readonly number[], slopes?: Float64Array): LabD65 {
    this.#sumK.set(this.#baseK);
    this.#sumS.set(this.#baseS);
    pigments.forEach((p, i) => {
      const K = this.#K[p]!;
      const S = this.#S[p]!;
      for (let band = 0; band < BANDS; band++) {
        this.#sumK[band]! += grams[i]! * K[band]!;
        this.#sumS[band]! += grams[i]! * S[band]!;
      }
    });
    for (let band = 0; band < BANDS; band++) {
      this.#kOverS[band] = this.#sumK[band]! / this.#sumS[band]!;
    }
    const theory = labOfOpaqueFilm(this.#kOverS, this.#surface, slopes ? this.#slopes : undefined);
    if (slopes) {
      const k = pigments.length;
      pigments.forEach((p, i) => {
        const K = this.#K[p]!;
        const S = this.#S[p]!;
        let L = 0;
        let a = 0;
        let b = 0;
        for (let band = 0; band < BANDS; band++) {
          const per = K[band]! / this.#sumK[band]! - S[band]! / this.#sumS[band]!;
          L += this.#slopes[band]! * per;
          a += this.#slopes[BANDS + band]! * per;
          b += this.#slopes[2 * BANDS + band]! * per;
        }
        slopes[i] = L;
        slopes[k + i] = a;
        slopes[2 * k + i] = b;
      });
    }
    const shift = this.#ground.discrepancyAt(theory);
    return labD65(theory[0] + shift[0], theory[1] + shift[1], theory[2] + shift[2]);
  }

  #quadratic(x: readonly number[], y: readonly number[]): number {
    let sum = 0;
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) sum += x[i]! * this.#metric[3 * i + j]! * y[j]!;
    }
    return sum;
  }

  solve(pigments: readonly number[], start?: readonly number[]): Recipe | undefined {
    const k = pigments.length;
    const { smallest, most, potGrams, dose, growthCost } = this.#limits;
    if (k * smallest > most) return undefined;
    const slopes = new Float64Array(3 * k);
    const columns = () =>
      pigments.map((_, i) => [slopes[i]!, slopes[k + i]!, slopes[2 * k + i]!] as const);
    let grams = pigments.map((_, i) => Math.max(smallest, start?.[i] ?? 0));
    const excess = grams.reduce((s, v) => s + v, 0) - most;
    if (excess > 0) {
      const free = grams.reduce((s, v) => s + v - smallest, 0);
      grams = grams.map((v) => smallest + (v - smallest) * (1 - excess / free));
    }
    const measure = (at: readonly number[]) => {
      const lab = this.colour(pigments, at, slopes);
      const off = [0, 1, 2].map((axis) => lab[axis]! - this.#glaze[axis]!);
      const per = columns();
      const handed = per.map((column) => dose ** 2 * this.#quadratic(column, column));
      const total = at.reduce((s, v) => s + v, 0);
      const cost =
        this.#quadratic(off, off) +
        at.reduce((s, v, i) => s + handed[i]! * v * v, 0) +
        (growthCost * total) / potGrams;
      return { off, per, handed, cost };
    };
    let now = measure(grams);
    let damping = 1e-3;
    for (let iteration = 0; iteration < 12; iteration++) {
      const gradient = now.per.map(
        (column, i) =>
          this.#quadratic(column, now.off) + now.handed[i]! * grams[i]! + growthCost / potGrams / 2,
      );
      const fixed = grams.map((v, i) => v <= smallest * (1 + 1e-9) && gradient[i]! > 0);
      const free = pigments.map((_, i) => i).filter((i) => !fixed[i]);
      if (free.length === 0) break;
      const n = free.length;
      const hessian = new Float64Array(n * n);
      free.forEach((i, row) => {
        free.forEach((j, column) => {
          hessian[row * n + column] = this.#quadratic(now.per[i]!, now.per[j]!);
        });
        hessian[row * n + row]! += now.handed[i]!;
      });
      let moved = false;
      for (let tries = 0; tries < 6; tries++) {
        const damped = Float64Array.from(hessian);
        for (let row = 0; row < n; row++) damped[row * n + row]! *= 1 + damping;
        for (let row = 0; row < n; row++) damped[row * n + row]! += 1e-12;
        const factor = cholesky(damped, n);
        if (!factor) break;
        const step = solveCholesky(
          factor,
          n,
          Float64Array.from(free, (i) => -gradient[i]!),
        );
        const trial = grams.slice();
        free.forEach((i, row) => {
          trial[i] = Math.max(smallest, grams[i]! + step[row]!);
        });
        const total = trial.reduce((s, v) => s + v, 0);
        if (total > most) {
          const above = total - k * smallest;
          const shrink = (most - k * smallest) / above;
          free.forEach((i) => {
            trial[i] = smallest + (trial[i]! - smallest) * shrink;
          });
          if (trial.reduce((s, v) => s + v, 0) > most * (1 + 1e-9)) break;
        }
        const then = measure(trial);
        if (then.cost < now.cost) {
          moved = now.cost - then.cost > 1e-4 * (1 + now.cost);
          grams = trial;
          now = then;
          damping = Math.max(1e-6, damping / 8);
          break;
        }
        damping = Math.max(1e-2, damping * 8);
        // `measure` left the slopes of the trial behind, but `now.per` was copied.
      }
      if (!moved) break;
    }
    if (!Number.isFinite(now.cost)) return undefined;
    return { pigments, grams, cost: now.cost };
  }
}
