/**
 * A mixer who knows the true paint and what is really in the pot, but has no better hand and no better
 * eye: what the hand's error and the stop rule leave to any solver.
 */
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import type { LabD65 } from '../../src/colour/spaces.ts';
import type { PotGrams } from '../../src/paint/types.ts';
import type { PaintBox } from './paint-truth.ts';

export interface Bench {
  readonly box: PaintBox;
  /** What is really in the pot, g. */
  readonly real: PotGrams;
  readonly smallest: number;
  readonly largestGrowth: number;
}

/** What growth by the pot's own mass costs, in ΔE₀₀². */
const GROWTH_COST = 0.2;
/** Steps of the search begin with this part of the pot and are halved so often. */
const FIRST_STEP = 0.3;
const HALVINGS = 10;
const ROUNDS = 8;

/**
 * Additions that bring the true colour nearest to the glaze as it was read: descent along single
 * pigments and pairs, with steps that halve.
 */
export function knownBest(
  { box, real, smallest, largestGrowth }: Bench,
  glazeLab: LabD65,
): PotGrams {
  const ids = box.pigments.map(({ id }) => id);
  const potGrams = Object.values(real).reduce((sum, grams) => sum + grams, 0);
  const grams = ids.map(() => 0);
  const costOf = () => {
    const after: Record<string, number> = { ...real };
    let added = 0;
    ids.forEach((id, p) => {
      after[id] = (after[id] ?? 0) + grams[p]!;
      added += grams[p]!;
    });
    const growth = added / potGrams;
    const tooMuch = Math.max(0, growth - largestGrowth);
    return deltaE00(glazeLab, box.labOf(after)) ** 2 + GROWTH_COST * growth + 1e3 * tooMuch;
  };
  let best = costOf();
  const tries = (moves: readonly (readonly [pigment: number, by: number])[]) => {
    const before = moves.map(([p]) => grams[p]!);
    for (const [p, by] of moves) grams[p] = Math.max(0, grams[p]! + by);
    const cost = costOf();
    if (cost < best - 1e-9) best = cost;
    else moves.forEach(([p], i) => (grams[p] = before[i]!));
  };
  for (let halving = 0; halving < HALVINGS; halving++) {
    const step = (FIRST_STEP * potGrams) / 2 ** halving;
    for (let round = 0; round < ROUNDS; round++) {
      const before = best;
      for (const p of ids.keys()) {
        tries([[p, step]]);
        tries([[p, -step]]);
        for (const q of ids.keys()) {
          if (q === p) continue;
          tries([
            [p, step],
            [q, -step],
          ]);
          // Strong and weak pigments go by different masses.
          tries([
            [p, step],
            [q, step / 8],
          ]);
        }
      }
      if (before - best < 1e-3) break;
    }
  }
  return Object.fromEntries(
    ids.flatMap((id, p) => (grams[p]! >= smallest ? [[id, grams[p]!] as const] : [])),
  );
}
