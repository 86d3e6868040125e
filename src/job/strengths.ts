/**
 * What attempts teach of a palette: how strong each pigment is against its characterisation. Each pot
 * keeps its own factors, so that what one taught can be taken back without touching the others.
 */
import { ASSUMED } from '../paint/assumed.ts';
import type { Strength } from '../paint/types.ts';
import type { Id } from './ids.ts';
import type { Palette } from './records.ts';

/** Factors nearer to 1 than this say nothing. */
const TELLING = 0.005;
/** Tubes of one name differ by so much, as a share of what is not known at first. */
const LEAST_DOUBT = 0.2;
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

/**
 * The same as a distribution of its logarithm, for the paint worker. A pigment nobody has learned of is
 * as sure as its characterisation; no pot makes one surer than a fresh tube of it would be like.
 */
export function strengthBelief(palette: Palette, id: string, without?: Id<'attempt'>): Strength {
  const surer = (palette.learned ?? [])
    .filter(({ pot }) => pot !== without)
    .reduce((product, one) => product * (one.surer?.[id] ?? 1), 1);
  return {
    logMean: Math.log(strengthOf(palette, id, without)),
    logSd: ASSUMED.strength * Math.max(LEAST_DOUBT, surer),
  };
}

/** The palette with what a pot has taught so far, in place of what it taught before. */
export function withLearned(
  palette: Palette,
  pot: Id<'attempt'>,
  at: Date,
  strengths: Readonly<Record<string, Strength>>,
): Palette {
  const factors: Record<string, number> = {};
  const surer: Record<string, number> = {};
  for (const [id, { logMean, logSd }] of Object.entries(strengths)) {
    const factor = rounded(Math.exp(logMean) / strengthOf(palette, id, pot));
    if (Math.abs(factor - 1) < TELLING) continue;
    factors[id] = factor;
    surer[id] = share(logSd / strengthBelief(palette, id, pot).logSd);
  }
  const others = (palette.learned ?? []).filter((one) => one.pot !== pot);
  if (Object.keys(factors).length === 0) return { ...palette, learned: others };
  return folded({
    ...palette,
    learned: [...others, { pot, at: at.toISOString(), factors, surer }],
  });
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

/** A share in the range a record keeps, to three figures. */
const share = (value: number) => Math.min(1, Math.max(0.01, Number(value.toPrecision(3))));
const clamped = (strength: number) => Math.min(100, Math.max(0.01, strength));
const rounded = (factor: number) => clamped(Number(factor.toPrecision(4)));
