/** The matched recipe brought to the size of the batch, in doses that a hand and a scale can make. */
import { deltaE00 } from '../../colour/ciede2000.ts';
import { bestRounded } from '../batch-rounding.ts';
import { potAfter, potMass } from '../pot.ts';
import { predictMix } from '../predict.ts';
import type { PalettePigment, PotGrams } from '../types.ts';

/** What the dabs took out of the pot: the same share of everything. */
export function potAfterDabs(pot: PotGrams, dabs: number, gramsPerDab: number): PotGrams {
  const mass = potMass(pot);
  const kept = mass > 0 ? Math.max(0, mass - dabs * gramsPerDab) / mass : 0;
  return Object.fromEntries(Object.entries(pot).map(([id, value]) => [id, value * kept]));
}

export interface ScaledRecipe {
  /** Grams to add to what is left, by pigment id, in whole doses. */
  readonly additions: PotGrams;
  /** What is then in the pot, by pigment id. */
  readonly pot: PotGrams;
  /** ΔE₀₀ between the recipe and the pot as rounded, by the paint model. */
  readonly roundingDeltaE00: number;
}

/**
 * @param recipe the matched pot, g by pigment id; only its ratios count
 * @param left what of it is still there, of the same ratios, g by pigment id
 * @param wanted grams of coloured paint, ≥ 0
 * @param inDoses grams of one pigment as the hand can dose them, g → g
 */
export function scaleRecipe(
  palette: readonly PalettePigment[],
  recipe: PotGrams,
  left: PotGrams,
  wanted: number,
  inDoses: (id: string, grams: number) => number,
): ScaledRecipe {
  const mass = potMass(recipe);
  const missing = Math.max(0, wanted - potMass(left));
  if (missing === 0) return { additions: {}, pot: left, roundingDeltaE00: 0 };
  const matched = predictMix(palette, recipe);
  const tried = new Set<string>();
  const best = bestRounded((factor): ScaledRecipe | undefined => {
    const additions = Object.fromEntries(
      Object.entries(recipe).flatMap(([id, value]) => {
        const dose = value > 0 ? inDoses(id, (missing * factor * value) / mass) : 0;
        return dose > 0 ? [[id, dose] as const] : [];
      }),
    );
    const key = JSON.stringify(additions);
    // Rounding down must not leave too little.
    if (tried.has(key) || potMass(additions) < missing * 0.98) return undefined;
    tried.add(key);
    const pot = potAfter(left, additions);
    return { additions, pot, roundingDeltaE00: deltaE00(matched, predictMix(palette, pot)) };
  });
  if (best) return best;
  const additions = Object.fromEntries(
    Object.entries(recipe).map(([id, value]) => [id, (missing * value) / mass]),
  );
  return { additions, pot: potAfter(left, additions), roundingDeltaE00: 0 };
}
