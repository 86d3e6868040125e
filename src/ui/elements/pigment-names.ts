/** What the screen calls a pigment and its doses. */
import type { PotGrams, PreDilution } from '../../paint/types.ts';
import { formatGrams } from './numbers.ts';

/** A unit a hand can dose, with its measured mass. */
export interface DoseUnit {
  readonly name: string;
  readonly grams: number;
}

/** What the elements need to know of a pigment of the palette. */
export interface PigmentOnShow {
  readonly id: string;
  readonly name: string;
  readonly colourIndex?: string;
  readonly isWhite?: boolean;
  readonly doseUnits?: readonly DoseUnit[];
}

export function pigmentName(id: string, pigments: readonly PigmentOnShow[]): string {
  const pigment = pigments.find((p) => p.id === id);
  if (!pigment) return id;
  return pigment.colourIndex ? `${pigment.colourIndex} ${pigment.name}` : pigment.name;
}

/** "PB 35": the shortest that names it. */
export function pigmentCode(id: string, pigments: readonly PigmentOnShow[]): string {
  const pigment = pigments.find((p) => p.id === id);
  return pigment?.colourIndex ?? pigment?.name ?? id;
}

/** "0.10 g of PW 6 titanium white, 0.02 g of PY 42 … and 0.012 g of PB 35 …", the largest first. */
export function additionInWords(additions: PotGrams, pigments: readonly PigmentOnShow[]): string {
  const each = Object.entries(additions)
    .filter(([, grams]) => grams > 0)
    .sort(([, a], [, b]) => b - a)
    .map(([id, grams]) => `${formatGrams(grams)} of ${pigmentName(id, pigments)}`);
  return [each.slice(0, -1).join(', '), ...each.slice(-1)]
    .filter((part) => part !== '')
    .join(' and ');
}

/** Additions less what goes in with dilutions, the most first: what is dosed by itself. */
export function besideDilutions(
  additions: PotGrams,
  preDiluted: readonly PreDilution[],
  pigments: readonly PigmentOnShow[],
): readonly (readonly [id: string, grams: number])[] {
  const isWhite = (id: string) => pigments.find((one) => one.id === id)?.isWhite ?? false;
  const withIt = (id: string) =>
    preDiluted.reduce((sum, { pigment, parts, grams }) => {
      if (id === pigment) return sum + grams / (parts + 1);
      return isWhite(id) ? sum + (grams * parts) / (parts + 1) : sum;
    }, 0);
  return Object.entries(additions)
    .map(([id, grams]) => [id, grams - withIt(id)] as const)
    .filter(([, grams]) => grams > 1e-6)
    .sort(([, a], [, b]) => b - a);
}

/** What is stirred into white first, and how much of that: nothing when there is none of it. */
export function dilutionsInWords(
  preDiluted: readonly PreDilution[],
  pigments: readonly PigmentOnShow[],
): string {
  return preDiluted
    .map(
      ({ pigment, parts, grams }) =>
        `stir 1 part of ${pigmentName(pigment, pigments)} into ${parts} parts of white and add ${formatGrams(grams)} of that`,
    )
    .join('; ');
}

/** "+ 0.012 g PB 35", or the sum of several: short enough for a list. */
export function additionShort(additions: PotGrams, pigments: readonly PigmentOnShow[]): string {
  const added = Object.entries(additions).filter(([, grams]) => grams > 0);
  const [first, ...more] = added;
  if (!first) return 'first mix';
  if (more.length === 0) return `+ ${formatGrams(first[1])} ${pigmentCode(first[0], pigments)}`;
  return `+ ${formatGrams(totalGrams(additions))}, ${added.length} paints`;
}

/** More than this many of one dose nobody counts. */
const MOST_COUNTED = 40;

/**
 * "2 drops" or "about 2½ drops": short enough for a button. Nothing when no dose fits.
 */
export function inDosesShort(grams: number, units: readonly DoseUnit[]): string | undefined {
  return inDoses(grams, units)?.split(',')[0];
}

/**
 * "2 drops", in the unit whose count is easiest to do by hand; "about 2½ drops, 0.10 g" when that is
 * rounded to the half, with what the rounding comes to. Nothing when no dose fits.
 */
export function inDoses(grams: number, units: readonly DoseUnit[]): string | undefined {
  const fits = units
    .map((unit) => ({ ...unit, count: grams / unit.grams }))
    .filter(({ count }) => count >= 0.4 && count <= MOST_COUNTED)
    .sort((a, b) => offWhole(a.count) - offWhole(b.count))[0];
  if (!fits) return undefined;
  const half = Math.max(0.5, Math.round(fits.count * 2) / 2);
  const isExact = Math.abs(half * fits.grams - grams) < 0.02 * grams;
  const said = `${inWords(half)} ${half > 1 ? plural(fits.name) : fits.name}`;
  return isExact ? said : `about ${said}, ${formatGrams(half * fits.grams)}`;
}

function inWords(half: number): string {
  return half === 0.5 ? 'half a' : String(half).replace('.5', '½');
}

/** Own doses of a pigment first, then those of the palette that it has not of its own. */
export function dosesOf(
  id: string,
  pigments: readonly PigmentOnShow[],
  ofPalette: readonly DoseUnit[],
): readonly DoseUnit[] {
  const own = pigments.find((pigment) => pigment.id === id)?.doseUnits ?? [];
  return [...own, ...ofPalette.filter(({ name }) => !own.some((one) => one.name === name))];
}

function plural(name: string): string {
  return /(?:ch|sh|s|x)$/.test(name) ? `${name}es` : `${name}s`;
}

function offWhole(count: number): number {
  return Math.abs(count - Math.round(count)) / count;
}

export function totalGrams(pot: PotGrams): number {
  return Object.values(pot).reduce((sum, grams) => sum + grams, 0);
}
