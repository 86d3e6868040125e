/**
 * Which additions bring the dab nearest to the glaze: additions only, none smaller than a hand can
 * dose, the pot growing no more than allowed. Every single pigment is tried, then pairs, threes and
 * fours built on the best: what a further pigment promises is told by one step of the solver without
 * reckoning its colour, and only what promises most is solved, by a bounded Levenberg–Marquardt on what
 * is expected of ΔE₀₀² — the hand's error included, so that a strong pigment is added a little short.
 */
import { BANDS } from '../colour/grid.ts';
import { labD65, type LabD65 } from '../colour/spaces.ts';
import { addTo, type Believed } from './film.ts';
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
  /** How many recipes of two, three and four pigments are solved: those that promise most. */
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
/**
 * A search that hands out suggestions looks wide; one that asks how near it can get, less so; a second
 * one that only asks what comes about as near, least.
 */
export const WIDE = [24, 20, 12] as const;
export const NARROW = [10, 8, 6] as const;
export const QUICK = [5, 4, 3] as const;
/** How many recipes of one size are built upon. */
const PARENTS = 6;
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
  const solver = new Solver(new Mixing(ground, surface), glaze, metric, limits);
  let ofSize = limits.pigments.flatMap((p) => solver.solve([p], [0]) ?? []);
  const all = [...ofSize];
  for (const width of limits.beam) {
    const solved = new Map<string, Recipe | undefined>();
    const joined = cheapest(ofSize)
      .slice(0, PARENTS)
      .flatMap((parent) => solver.joined(parent));
    for (const { parent, pigment } of cheapest(joined)) {
      if (solved.size === width) break;
      const pigments = [...parent.pigments, pigment].sort((a, b) => a - b);
      const key = pigments.join();
      if (solved.has(key)) continue;
      const start = pigments.map((p) => parent.grams[parent.pigments.indexOf(p)] ?? 0);
      const recipe = solver.solve(pigments, start);
      // What is no better for the pigment is left out.
      solved.set(key, recipe && recipe.cost < parent.cost ? recipe : undefined);
    }
    ofSize = [...solved.values()].filter((recipe) => recipe !== undefined);
    all.push(...ofSize);
  }
  const sorted = cheapest(all);
  const simple = [1, 2].flatMap((size) =>
    sorted.filter(({ pigments }) => pigments.length === size).slice(0, SIMPLE),
  );
  return [...new Set([...sorted.slice(0, RECIPES), ...simple])];
}

/** The cheapest first. */
function cheapest<T extends { readonly cost: number }>(recipes: readonly T[]): T[] {
  return [...recipes].sort((a, b) => a.cost - b.cost);
}

/** The pot with something added: its colour, and how that moves with each gram. */
class Mixing {
  readonly #ground: Ground;
  readonly #surface: Saunderson;
  readonly #potK = new Float64Array(BANDS);
  readonly #potS = new Float64Array(BANDS);
  readonly #K = new Float64Array(BANDS);
  readonly #S = new Float64Array(BANDS);
  readonly #kOverS = new Float64Array(BANDS);
  readonly #slopes = new Float64Array(3 * BANDS);

  constructor(ground: Ground, surface: Saunderson) {
    this.#ground = ground;
    this.#surface = surface;
    for (let p = 0; p < ground.pigments.length; p++) {
      addTo(this.#potK, ground.pigments[p]!.K, ground.effective[p]!);
      addTo(this.#potS, ground.pigments[p]!.S, ground.effective[p]!);
    }
  }

  /** Fills `perGram` (k × 3: ∂Lab/∂gram of each). */
  colour(added: readonly number[], grams: ArrayLike<number>, perGram: Float64Array): LabD65 {
    const { pigments, discrepancyAt } = this.#ground;
    const bands = BANDS;
    const sumK = this.#K;
    const sumS = this.#S;
    const kOverS = this.#kOverS;
    const slopes = this.#slopes;
    sumK.set(this.#potK);
    sumS.set(this.#potS);
    for (let i = 0; i < added.length; i++) {
      if (grams[i] === 0) continue;
      const { K, S, strength } = pigments[added[i]!]!;
      addTo(sumK, K, grams[i]! * strength);
      addTo(sumS, S, grams[i]! * strength);
    }
    for (let band = 0; band < bands; band++) kOverS[band] = sumK[band]! / sumS[band]!;
    const theory = labOfOpaqueFilm(kOverS, this.#surface, slopes);
    // d ln(K/S) = (dK − K/S dS)/K; the division is done once for all pigments.
    for (let band = 0; band < bands; band++) {
      const inverse = 1 / sumK[band]!;
      slopes[band]! *= inverse;
      slopes[bands + band]! *= inverse;
      slopes[2 * bands + band]! *= inverse;
    }
    for (let i = 0; i < added.length; i++) {
      const { K, S, strength } = pigments[added[i]!]!;
      let L = 0;
      let a = 0;
      let b = 0;
      for (let band = 0; band < bands; band++) {
        const per = K[band]! - kOverS[band]! * S[band]!;
        L += slopes[band]! * per;
        a += slopes[bands + band]! * per;
        b += slopes[2 * bands + band]! * per;
      }
      perGram[3 * i] = L * strength;
      perGram[3 * i + 1] = a * strength;
      perGram[3 * i + 2] = b * strength;
    }
    const shift = discrepancyAt(theory);
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

/** A recipe that a pigment is to join, and what that promises to cost. */
interface Joined {
  readonly parent: Recipe;
  readonly pigment: number;
  readonly cost: number;
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
  readonly #steps = new Float64Array(MOST_PIGMENTS);
  readonly #across = new Float64Array(MOST_PIGMENTS);
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

  /** Whitened colour less glaze, and whitened ∂Lab/∂gram. */
  #off(
    off: Float64Array,
    perGram: Float64Array,
    pigments: readonly number[],
    grams: ArrayLike<number>,
  ): void {
    const lab = this.#mixing.colour(pigments, grams, perGram);
    const glaze = this.#glaze;
    this.#whitened(off, 0, lab[0] - glaze[0], lab[1] - glaze[1], lab[2] - glaze[2]);
    for (let i = 0; i < 3 * pigments.length; i += 3) {
      this.#whitened(perGram, i, perGram[i]!, perGram[i + 1]!, perGram[i + 2]!);
    }
  }

  /** Reckons the misfit at the grams it holds. */
  #reckon(pigments: readonly number[], at: Misfit): void {
    const { off, perGram, grams } = at;
    this.#off(off, perGram, pigments, grams);
    at.cost = this.#cost(pigments.length, off, perGram, grams);
  }

  /** What is expected of ΔE₀₀², the hand's error included, and what the growth costs. */
  #cost(k: number, off: Float64Array, perGram: Float64Array, grams: Float64Array): number {
    const { dose, growthCost, potGrams } = this.#limits;
    let cost = dot(off, 0, off, 0);
    for (let i = 0; i < k; i++) {
      const g = grams[i]!;
      cost += (dose * g) ** 2 * dot(perGram, 3 * i, perGram, 3 * i) + (growthCost * g) / potGrams;
    }
    return cost;
  }

  solve(pigments: readonly number[], start: readonly number[]): Recipe | undefined {
    const k = pigments.length;
    const { smallest, most } = this.#limits;
    if (k * smallest > most) return undefined;
    for (let i = 0; i < k; i++) this.#now.grams[i] = Math.max(smallest, start[i]!);
    this.#withinMost(this.#now.grams, k);
    this.#reckon(pigments, this.#now);
    let damping = 1e-3;
    for (let iteration = 0; iteration < ITERATIONS; iteration++) {
      const { cost } = this.#now;
      let gain = 0;
      for (let tries = 0; tries < 5 && gain <= 0; tries++) {
        if (!this.#step(k, this.#now, damping, this.#next.grams)) break;
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

  /**
   * What a recipe would cost with one more pigment each, after one step, were colour straight in the
   * grams. What does not help at first is left out.
   */
  joined(parent: Recipe): Joined[] {
    const { smallest, most, growthCost, potGrams } = this.#limits;
    const { pigments, grams } = parent;
    const k = pigments.length;
    if ((k + 1) * smallest > most) return [];
    const others = this.#limits.pigments.filter((p) => !pigments.includes(p));
    const perGram = new Float64Array(3 * (k + others.length));
    const at = this.#now;
    this.#off(at.off, perGram, [...pigments, ...others], [...grams, ...others.map(() => 0)]);
    at.grams.set(grams);
    at.grams[k] = 0;
    at.perGram.set(perGram.subarray(0, 3 * k));
    const to = this.#next.grams;
    const off = this.#next.off;
    const joined: Joined[] = [];
    for (let index = 0; index < others.length; index++) {
      const from = 3 * (k + index);
      if (dot(perGram, from, at.off, 0) + growthCost / potGrams / 2 >= 0) continue;
      for (let axis = 0; axis < 3; axis++) at.perGram[3 * k + axis] = perGram[from + axis]!;
      if (!this.#step(k + 1, at, 1e-3, to) || to[k] === 0) continue;
      off.set(at.off);
      for (let i = 0; i <= k; i++) {
        const more = to[i]! - at.grams[i]!;
        for (let axis = 0; axis < 3; axis++) off[axis]! += more * at.perGram[3 * i + axis]!;
      }
      joined.push({
        parent,
        pigment: others[index]!,
        cost: this.#cost(k + 1, off, at.perGram, to),
      });
    }
    return joined;
  }

  /**
   * A damped Gauss–Newton step of the first `k` grams within their bounds, into `to`; false when nothing
   * may move.
   */
  #step(k: number, { off, perGram, grams }: Misfit, damping: number, to: Float64Array): boolean {
    const { smallest, most, potGrams, dose, growthCost } = this.#limits;
    const free = this.#free;
    const gradient = this.#gradient;
    const step = this.#steps;
    const across = this.#across;
    const damped = this.#damped;
    to.set(grams);
    let n = 0;
    let room = most;
    for (let i = 0; i < k; i++) {
      room -= grams[i]!;
      const handed = dose ** 2 * dot(perGram, 3 * i, perGram, 3 * i);
      gradient[i] = dot(perGram, 3 * i, off, 0) + handed * grams[i]! + growthCost / potGrams / 2;
      if (grams[i]! > smallest * (1 + 1e-9) || gradient[i]! < 0) free[n++] = i;
    }
    for (let left = 0; left < n; n = left) {
      for (let row = 0; row < n; row++) {
        const i = free[row]!;
        for (let column = 0; column < n; column++) {
          damped[row * n + column] = dot(perGram, 3 * i, perGram, 3 * free[column]!);
        }
        damped[row * n + row] = damped[row * n + row]! * (1 + dose ** 2) * (1 + damping) + 1e-12;
        step[row] = -gradient[i]!;
      }
      const factor = cholesky(damped, n, this.#factor);
      if (!factor) return false;
      solveCholesky(factor, n, step);
      let more = 0;
      for (let row = 0; row < n; row++) more += step[row]!;
      if (more > room) {
        // As much as may be added in all: what one gains another gives (Lagrange).
        across.fill(1);
        solveCholesky(factor, n, across);
        let all = 0;
        for (let row = 0; row < n; row++) all += across[row]!;
        for (let row = 0; row < n; row++) step[row]! -= (across[row]! * (more - room)) / all;
      }
      // What is at its smallest and would fall stays; the others are reckoned again without it.
      left = 0;
      for (let row = 0; row < n; row++) {
        const i = free[row]!;
        if (grams[i]! > smallest * (1 + 1e-9) || step[row]! > 0) free[left++] = i;
      }
      if (left === n) break;
    }
    for (let row = 0; row < n; row++) {
      const i = free[row]!;
      to[i] = Math.max(smallest, grams[i]! + step[row]!);
    }
    this.#withinMost(to, k);
    return n > 0;
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
