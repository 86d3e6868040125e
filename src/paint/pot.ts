/** Pot sums and doses: what is in the pot, and how a hand measures what goes in. */
import type { PotGrams } from './types.ts';
import { writtenAs, type Writing } from './writing.ts';

/** Mass of the pot, g. */
export function potMass(pot: PotGrams): number {
  return Object.values(pot).reduce((sum, grams) => sum + grams, 0);
}

/** The pot after additions; masses in grams, pigments may be new to it. */
export function potAfter(pot: PotGrams, additions: PotGrams): PotGrams {
  const after: Record<string, number> = { ...pot };
  for (const [id, grams] of Object.entries(additions)) after[id] = (after[id] ?? 0) + grams;
  return after;
}

/** As much of a pot as is taken out of it, g: all of it when it holds less. */
export function takenOut(pot: PotGrams, grams: number): PotGrams {
  const mass = potMass(pot);
  const share = mass > grams ? grams / mass : 1;
  return Object.fromEntries(
    Object.entries(pot)
      .filter(([, one]) => one > 0)
      .map(([id, one]) => [id, one * share]),
  );
}

/** A way to dose: grams on a scale, drops, or touches of a mixing stick. */
export interface DoseUnit {
  readonly name: 'gram' | 'drop' | 'touch';
  /** Mass of one, g. */
  readonly grams: number;
  /** Standard deviation of one, as a share of its mass; undefined when it was not found out. */
  readonly spread?: number;
}

/** The scale itself: a gram is a gram. */
export const GRAM: DoseUnit = { name: 'gram', grams: 1, spread: 0 };

/**
 * What a drop or a touch weighs, from masses read on the scale after each `count` of them (ten drops,
 * ten more, …), g, each > 0. Throws a RangeError when nothing was weighed. With two weighings or more
 * the spread of a single drop is told as well: that of a sum of `count` grows with √count.
 */
export function calibrateDose(
  name: 'drop' | 'touch',
  weighings: readonly number[],
  count: number,
): DoseUnit {
  if (!(count >= 1) || !Number.isInteger(count)) {
    throw new RangeError(`${count} ${name}s cannot be weighed: give a whole number`);
  }
  const bad = weighings.find((grams) => !(grams > 0 && Number.isFinite(grams)));
  if (weighings.length === 0 || bad !== undefined) {
    throw new RangeError(`weigh ${count} ${name}s: ${bad ?? 'nothing'} g is not a mass`);
  }
  const mean = weighings.reduce((sum, grams) => sum + grams, 0) / weighings.length;
  const grams = mean / count;
  if (weighings.length === 1) return { name, grams };
  const variance =
    weighings.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (weighings.length - 1);
  return { name, grams, spread: Math.sqrt(variance / count) / grams };
}

/**
 * Grams as the hand counts them: "0.012 g", "3 drops", "1 touch". Counts are whole; less than half of
 * one is said as such.
 */
export function inUnit(grams: number, unit: DoseUnit, writing?: Writing): string {
  if (unit.name === 'gram') return writtenAs(writing).grams(grams);
  const count = Math.round(grams / unit.grams);
  if (count === 0) return `less than one ${unit.name}`;
  const plural = unit.name === 'touch' ? 'touches' : 'drops';
  return `${count} ${count === 1 ? unit.name : plural}`;
}
