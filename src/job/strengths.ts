/**
 * What attempts teach of a palette: how strong each pigment is against its characterisation. Each pot
 * keeps its own factors, so that what one taught can be taken back without touching the others.
 */
import type { Id } from './ids.ts';
import type { Palette } from './records.ts';

/** Factors nearer to 1 than this say nothing. */
const TELLING = 0.005;
/** So many pots are kept apart; what older ones taught goes into the pigment's own strength. */
const POTS = 200;

/**
 * Strength of a pigment relative to its characterisation, > 0; 1 when nothing was learned.
 * @param without a pot whose own teaching is left out: what was known before it began
 */
export function strengthOf(palette: Palette, id: string, without?: Id<'attempt'>): number {
  const own = palette.pigments.find((pigment) => pigment.id === id)?.strength ?? 1;
  const factors = (palette.learned ?? [])
    .filter(({ pot }) => pot !== without)
    .map(({ factors }) => factors[id] ?? 1);
  return clamped(factors.reduce((product, factor) => product * factor, own));
}

/** The palette with what a pot has taught so far, in place of what it taught before. */
export function withLearned(
  palette: Palette,
  pot: Id<'attempt'>,
  at: Date,
  strengths: Readonly<Record<string, number>>,
): Palette {
  const factors = Object.fromEntries(
    Object.entries(strengths)
      .map(([id, strength]) => [id, rounded(strength / strengthOf(palette, id, pot))] as const)
      .filter(([, factor]) => Math.abs(factor - 1) >= TELLING),
  );
  const others = (palette.learned ?? []).filter((one) => one.pot !== pot);
  const learned = [...others, { pot, at: at.toISOString(), factors }];
  const kept = learned.filter(({ factors: some }) => Object.keys(some).length > 0);
  return folded({ ...palette, learned: kept });
}

/** The palette as if nothing had been learned of one pigment. */
export function withoutLearned(palette: Palette, id: string): Palette {
  const learned = (palette.learned ?? [])
    .map((one) => ({ ...one, factors: without(one.factors, id) }))
    .filter(({ factors }) => Object.keys(factors).length > 0);
  const pigments = palette.pigments.map((pigment) => {
    if (pigment.id !== id) return pigment;
    const { strength, ...rest } = pigment;
    return strength === undefined ? pigment : rest;
  });
  return { ...palette, pigments, learned };
}

/** Puts the oldest pots' factors into the pigments' own strengths. */
function folded(palette: Palette): Palette {
  const learned = palette.learned ?? [];
  if (learned.length <= POTS) return palette;
  const old = learned.slice(0, -POTS);
  const pigments = palette.pigments.map((pigment) => {
    const factor = old.reduce((product, { factors }) => product * (factors[pigment.id] ?? 1), 1);
    if (factor === 1) return pigment;
    return { ...pigment, strength: clamped((pigment.strength ?? 1) * factor) };
  });
  return { ...palette, pigments, learned: learned.slice(-POTS) };
}

function without(factors: Readonly<Record<string, number>>, id: string) {
  return Object.fromEntries(Object.entries(factors).filter(([one]) => one !== id));
}

const clamped = (strength: number) => Math.min(100, Math.max(0.01, strength));
const rounded = (factor: number) => clamped(Number(factor.toPrecision(4)));
