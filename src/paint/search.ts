/**
 * Which additions bring the dab nearest to the glaze: additions only, none smaller than a hand can
 * dose, the pot growing no more than allowed. Every single pigment is tried, then pairs, threes and
 * fours built on the best, each solved by a bounded Levenberg–Marquardt on what is expected of
 * ΔE₀₀² — the hand's error included, so that a strong pigment is added a little short.
 */
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
  /** How many recipes of one, two and three pigments are built upon. */
  readonly beam: readonly [number, number, number];
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

/** Most pigments in one nudge. */
const MOST_PIGMENTS = 4;
/** A search that hands out suggestions looks wide; one that asks how near it can get, less so. */
export const WIDE = [10, 6, 3] as const;
export const NARROW = [5, 3, 2] as const;
/** Recipes handed on to be judged in full, and how many single ones and pairs whatever their rank. */
const RECIPES = 24;
const SIMPLE = 3;
const ITERATIONS = 10;

/** The best recipes, for ΔE₀₀² ≈ dᵀ·metric·d (3 × 3, row-major) about the glaze. */
export function searchRecipes(
  ground: Ground,
  glaze: LabD65,
  metric: Float64Array,
  surface: Saunderson,
  limits: SearchLimits,
): Recipe[] {
  const mixing = new Mixing(ground, surface);
  const solver = new Solver(mixing, glaze, metric, limits);
  const found = new Map<string, Recipe>();
  const attempt = (pigments: readonly number[], start: readonly number[]) => {
    const key = pigments.join();
    if (found.has(key)) return;
    const recipe = solver.solve(pigments, start);
    if (recipe) found.set(key, recipe);
  };
  for (const p of limits.pigments) attempt([p], [0]);
  let ofSize = [...found.values()];
  for (const width of limits.beam) {
    const size = ofSize[0]?.pigments.length;
    for (const recipe of best(ofSize, width)) {
      for (const p of limits.pigments) {
        if (recipe.pigments.includes(p)) continue;
        const joined = [...recipe.pigments, p].sort((a, b) => a - b);
        attempt(
          joined,
          joined.map((q) => (q === p ? 0 : recipe.grams[recipe.pigments.indexOf(q)]!)),
        );
      }
    }
    ofSize = [...found.values()].filter(({ pigments }) => pigments.length === size! + 1);
  }
  const all = best([...found.values()], found.size);
  const simple = [1, 2].flatMap((size) =>
    all.filter(({ pigments }) => pigments.length === size).slice(0, SIMPLE),
  );
  return [...new Set([...all.slice(0, RECIPES), ...simple])];
}

/** The colour expected after `grams` of each pigment of the palette. */
export function colourOf(ground: Ground, surface: Saunderson, grams: Float64Array): LabD65 {
  return new Mixing(ground, surface).colour([...grams.keys()], grams);
}

function best(recipes: Recipe[], count: number): Recipe[] {
  return recipes.sort((a, b) => a.cost - b.cost).slice(0, count);
}

/** The pot with something added: its colour, and how that moves with each gram. */
class Mixing {
  readonly #ground: Ground;
  readonly #surface: Saunderson;
  /** K and S per gram of each pigment, strength included. */
  readonly #K: readonly Float64Array[];
  readonly #S: readonly Float64Array[];
  readonly #potK: Float64Array;
  readonly #potS: Float64Array;
  readonly #sumK: Float64Array;
  readonly #sumS: Float64Array;
  readonly #kOverS: Float64Array;
  readonly #slopes: Float64Array;

  constructor(ground: Ground, surface: Saunderson) {
    this.#ground = ground;
    this.#surface = surface;
    const { pigments, effective } = ground;
    const bands = pigments[0]!.K.length;
    const sumOf = (key: 'K' | 'S') =>
      Float64Array.from({ length: bands }, (_, band) =>
        pigments.reduce((sum, pigment, p) => sum + effective[p]! * pigment[key][band]!, 0),
      );
    this.#K = pigments.map(({ K, strength }) => K.map((value) => value * strength));
    this.#S = pigments.map(({ S, strength }) => S.map((value) => value * strength));
    this.#potK = sumOf('K');
    this.#potS = sumOf('S');
    this.#sumK = new Float64Array(bands);
    this.#sumS = new Float64Array(bands);
    this.#kOverS = new Float64Array(bands);
    this.#slopes = new Float64Array(3 * bands);
  }

  /** Fills `perGram` (k × 3: ∂Lab/∂gram of each) when it is given. */
  colour(pigments: readonly number[], grams: ArrayLike<number>, perGram?: Float64Array): LabD65 {
    const sumK = this.#sumK;
    const sumS = this.#sumS;
    const kOverS = this.#kOverS;
    const bands = sumK.length;
    sumK.set(this.#potK);
    sumS.set(this.#potS);
    for (let i = 0; i < pigments.length; i++) {
      const K = this.#K[pigments[i]!]!;
      const S = this.#S[pigments[i]!]!;
      const g = grams[i]!;
      for (let band = 0; band < bands; band++) {
        sumK[band]! += g * K[band]!;
        sumS[band]! += g * S[band]!;
      }
    }
    for (let band = 0; band < bands; band++) kOverS[band] = sumK[band]! / sumS[band]!;
    const slopes = this.#slopes;
    const theory = labOfOpaqueFilm(kOverS, this.#surface, perGram && slopes);
    if (perGram) {
      // d ln(K/S) = dK/K − dS/S; the divisions are done once for all pigments.
      for (let band = 0; band < bands; band++) {
        sumK[band] = 1 / sumK[band]!;
        sumS[band] = 1 / sumS[band]!;
      }
      for (let i = 0; i < pigments.length; i++) {
        const K = this.#K[pigments[i]!]!;
        const S = this.#S[pigments[i]!]!;
        let L = 0;
        let a = 0;
        let b = 0;
        for (let band = 0; band < bands; band++) {
          const per = K[band]! * sumK[band]! - S[band]! * sumS[band]!;
          L += slopes[band]! * per;
          a += slopes[bands + band]! * per;
          b += slopes[2 * bands + band]! * per;
        }
        perGram[3 * i] = L;
        perGram[3 * i + 1] = a;
        perGram[3 * i + 2] = b;
      }
    }
    const shift = this.#ground.discrepancyAt(theory);
    return labD65(theory[0] + shift[0], theory[1] + shift[1], theory[2] + shift[2]);
  }
}

/** Misfit at a set of grams: whitened by the metric, so that its square is ΔE₀₀². */
class Misfit {
  /** Whitened colour less glaze. */
  readonly off = new Float64Array(3);
  /** Whitened ∂Lab/∂gram, k × 3. */
  readonly perGram = new Float64Array(3 * MOST_PIGMENTS);
  readonly grams = new Float64Array(MOST_PIGMENTS);
  cost = 0;
}

class Solver {
  readonly #mixing: Mixing;
  readonly #glaze: LabD65;
  /** W with metric = WᵀW, upper triangular, row-major. */
  readonly #whiten: Float64Array;
  readonly #limits: SearchLimits;
  #now = new Misfit();
  #next = new Misfit();
  // Scratch space: thousands of small systems are solved for one nudge.
  readonly #free = new Int8Array(MOST_PIGMENTS);
  readonly #gradient = new Float64Array(MOST_PIGMENTS);
  readonly #step = new Float64Array(MOST_PIGMENTS);
  readonly #hessian = new Float64Array(MOST_PIGMENTS ** 2);
  readonly #damped = new Float64Array(MOST_PIGMENTS ** 2);
  readonly #factor = new Float64Array(MOST_PIGMENTS ** 2);

  constructor(mixing: Mixing, glaze: LabD65, metric: Float64Array, limits: SearchLimits) {
    this.#mixing = mixing;
    this.#glaze = glaze;
    this.#limits = limits;
    const lower = cholesky(metric, 3)!;
    this.#whiten = Float64Array.from(lower, (_, i) => lower[3 * (i % 3) + Math.floor(i / 3)]!);
  }

  #whitened(target: Float64Array, at: number, x: number, y: number, z: number): void {
    const W = this.#whiten;
    target[at] = W[0]! * x + W[1]! * y + W[2]! * z;
    target[at + 1] = W[4]! * y + W[5]! * z;
    target[at + 2] = W[8]! * z;
  }

  /** Reckons the misfit at the grams it holds. */
  #reckon(pigments: readonly number[], at: Misfit): void {
    const { dose, growthCost, potGrams } = this.#limits;
    const { off, perGram, grams } = at;
    const lab = this.#mixing.colour(pigments, grams, perGram);
    const glaze = this.#glaze;
    this.#whitened(off, 0, lab[0] - glaze[0], lab[1] - glaze[1], lab[2] - glaze[2]);
    let cost = dot(off, 0, off, 0);
    for (let i = 0; i < pigments.length; i++) {
      this.#whitened(perGram, 3 * i, perGram[3 * i]!, perGram[3 * i + 1]!, perGram[3 * i + 2]!);
      const g = grams[i]!;
      cost += (dose * g) ** 2 * dot(perGram, 3 * i, perGram, 3 * i) + (growthCost * g) / potGrams;
    }
    at.cost = cost;
  }

  solve(pigments: readonly number[], start: readonly number[]): Recipe | undefined {
    const k = pigments.length;
    const { smallest, most, potGrams, dose, growthCost } = this.#limits;
    if (k * smallest > most) return undefined;
    for (let i = 0; i < k; i++) this.#now.grams[i] = Math.max(smallest, start[i]!);
    this.#withinMost(this.#now.grams, k);
    this.#reckon(pigments, this.#now);
    let damping = 1e-3;
    for (let iteration = 0; iteration < ITERATIONS; iteration++) {
      const { off, perGram, grams, cost } = this.#now;
      const free = this.#free;
      const gradient = this.#gradient;
      const hessian = this.#hessian;
      const damped = this.#damped;
      let n = 0;
      for (let i = 0; i < k; i++) {
        const handed = dose ** 2 * dot(perGram, 3 * i, perGram, 3 * i);
        const g = dot(perGram, 3 * i, off, 0) + handed * grams[i]! + growthCost / potGrams / 2;
        if (grams[i]! <= smallest * (1 + 1e-9) && g > 0) continue;
        free[n] = i;
        gradient[n] = g;
        n++;
      }
      if (n === 0) break;
      for (let row = 0; row < n; row++) {
        for (let column = 0; column < n; column++) {
          hessian[row * n + column] = dot(perGram, 3 * free[row]!, perGram, 3 * free[column]!);
        }
        hessian[row * n + row]! *= 1 + dose ** 2;
      }
      let gain = 0;
      for (let tries = 0; tries < 5 && gain <= 0; tries++) {
        damped.set(hessian);
        for (let row = 0; row < n; row++) {
          damped[row * n + row] = damped[row * n + row]! * (1 + damping) + 1e-12;
        }
        const factor = cholesky(damped, n, this.#factor);
        if (!factor) break;
        const step = this.#step;
        for (let row = 0; row < n; row++) step[row] = -gradient[row]!;
        solveCholesky(factor, n, step);
        const trial = this.#next.grams;
        trial.set(grams);
        for (let row = 0; row < n; row++) {
          const i = free[row]!;
          trial[i] = Math.max(smallest, grams[i]! + step[row]!);
        }
        this.#withinMost(trial, k);
        this.#reckon(pigments, this.#next);
        gain = cost - this.#next.cost;
        damping = gain > 0 ? Math.max(1e-6, damping / 8) : Math.max(1e-2, damping * 10);
      }
      if (!(gain > 0)) break;
      [this.#now, this.#next] = [this.#next, this.#now];
      if (gain < 1e-3 * (0.1 + cost)) break;
    }
    if (!Number.isFinite(this.#now.cost)) return undefined;
    return { pigments, grams: [...this.#now.grams.slice(0, k)], cost: this.#now.cost };
  }

  /** Shrinks what lies above the smallest doses until the pot grows no more than it may. */
  #withinMost(grams: Float64Array, k: number): void {
    const { smallest, most } = this.#limits;
    let total = 0;
    for (let i = 0; i < k; i++) total += grams[i]!;
    if (total <= most) return;
    const shrink = Math.max(0, (most - k * smallest) / (total - k * smallest));
    for (let i = 0; i < k; i++) grams[i] = smallest + (grams[i]! - smallest) * shrink;
  }
}

function dot(x: Float64Array, atX: number, y: Float64Array, atY: number): number {
  return x[atX]! * y[atY]! + x[atX + 1]! * y[atY + 1]! + x[atX + 2]! * y[atY + 2]!;
}
