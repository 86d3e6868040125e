/** Where adding leads: whether it gets there, why not, and when it is better to start again. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { compose } from './compose.ts';
import { dosedMixes } from './dosed-mix.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { missing } from './gamut.ts';
import { inLight } from './light.ts';
import type { Judged } from './judge.ts';
import { FAR, HOPELESS_GROWTH, wayFrom, type Way } from './plan.ts';
import { gramsById, type Standing } from './standing.ts';
import type { FreshMix, NudgeRequest } from './types.ts';
import { writtenAs } from './writing.ts';

export interface Outlook {
  /** In the person's words; absent when the best nudge gets there. */
  readonly reason?: string;
  /** No amount of adding gets near, but a fresh mix would: nothing is worth adding. */
  readonly hopeless: boolean;
  /** A fresh mix that comes nearer, or takes less paint. */
  readonly startAgain?: FreshMix;
}

/** ΔE₀₀ below which there is nothing to explain. */
const NEAR = 1;
/** ΔE₀₀ by which a fresh mix must do better than adding ever can, for adding to be hopeless. */
const WORTH_STARTING_AGAIN = 2;
/** A nudge that leaves less than this part of the difference is made all the same. */
const WORTH_A_NUDGE = 0.7;
/** From this growth on, as much again as there is, a fresh mix takes less paint. */
const DEAR_GROWTH = 1;

/** `best` is the best nudge, absent when none is worth making; `way` the whole way, if it was sought. */
export function outlookOf(standing: Standing, best: Judged | undefined, way?: Way): Outlook {
  const { request, belief, asItIs } = standing;
  const { glazeLab, dabLab, smallest, largestGrowth } = request;
  const { number, percent, grams } = writtenAs(request.writing);
  const shown = (off: number) => number(off, 1);
  if (best && best.deltaE00 < FAR) return { hopeless: false };
  const reached = (best ?? asItIs).deltaE00;
  if (!best && reached < NEAR) {
    return {
      hopeless: false,
      reason: `already blends as far as dosing allows: it reads ΔE₀₀ ${shown(deltaE00(glazeLab, dabLab))}, and no addition is sure to bring it nearer`,
    };
  }
  const ever = way?.whole ?? asItIs;
  const nearest = ever.deltaE00 < reached ? ever : (best ?? asItIs);
  // What the palette mixes at all, whatever a hand can dose.
  // Mixes are reckoned in full light, as the palette was read; the glaze was read in the pot's.
  const inFullLight = inLight(glazeLab, -belief.logLight);
  // Both are searches of their own, made only where what is said hangs on them.
  const composed = once(() => compose(belief.pigments, inFullLight, 1e-6));
  const fresh = once(() => freshMix(standing, inFullLight));
  if (nearest.deltaE00 > FAR && composed().deltaE00 > Math.min(FAR, nearest.deltaE00 - 0.5)) {
    const gamut = composed();
    const lab =
      gamut.deltaE00 < nearest.deltaE00 ? inLight(gamut.lab, belief.logLight) : nearest.lab;
    return {
      hopeless: false,
      reason: `the glaze lies outside what this palette mixes: nearest ΔE₀₀ ${shown(Math.min(gamut.deltaE00, nearest.deltaE00))}; ${missing(glazeLab, lab)} is missing`,
    };
  }
  const excess = () => excessOf(standing, composed().shares);
  const helps = best !== undefined && best.deltaE00 < WORTH_A_NUDGE * asItIs.deltaE00;
  if (
    !helps &&
    ever.deltaE00 > 2 * FAR &&
    fresh().predicted.deltaE00 < Math.min(reached, ever.deltaE00) - WORTH_STARTING_AGAIN
  ) {
    return {
      hopeless: true,
      startAgain: fresh(),
      reason: `start again: too much ${excess()} in the pot; even ${HOPELESS_GROWTH} times its mass of additions come no nearer than ΔE₀₀ ${shown(ever.deltaE00)}, where ${missing(glazeLab, ever.lab)} is missing; a fresh mix comes to ΔE₀₀ ${shown(fresh().predicted.deltaE00)}: ${listed(fresh(), request)}`,
    };
  }
  if (best) {
    if (!way || way.growth <= largestGrowth) {
      return { hopeless: false, reason: `one nudge comes to ΔE₀₀ ${shown(reached)}` };
    }
    const onward = `one nudge comes to ΔE₀₀ ${shown(reached)}; the pot would have to grow by ${percent(way.growth)} to come to ΔE₀₀ ${shown(ever.deltaE00)}`;
    if (way.growth < DEAR_GROWTH) return { hopeless: false, reason: onward };
    const diluted = dilutedGrowth(standing);
    if (diluted < way.growth / 2) {
      return {
        hopeless: false,
        reason: `${onward}; with the strong pigments pre-diluted in white (1:10 to 1:50) a growth of ${percent(diluted)} is enough`,
      };
    }
    if (fresh().predicted.deltaE00 > FAR) return { hopeless: false, reason: onward };
    return {
      hopeless: false,
      startAgain: fresh(),
      reason: `${onward}: too much ${excess()}; a fresh mix takes less paint: ${listed(fresh(), request)}`,
    };
  }
  return {
    hopeless: false,
    ...(fresh().predicted.deltaE00 < reached - NEAR ? { startAgain: fresh() } : {}),
    reason: `no addition of ${grams(smallest)} or more and at most ${percent(largestGrowth)} growth brings it nearer than ΔE₀₀ ${shown(reached)}: set part of the pot aside, or pre-dilute the strong pigments in white to dose less of them`,
  };
}

/** Reckoned when it is first asked for. */
function once<T>(reckon: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => (made ??= { value: reckon() }).value;
}

/** A mix from nothing as large as the pot, in doses this hand can make. */
function freshMix({ request, belief, potGrams }: Standing, inFullLight: LabD65): FreshMix {
  const { palette, glazeLab } = request;
  const wanted = { glazeLab: inFullLight, amount: potGrams, hand: request };
  const [mix] = dosedMixes(palette, belief.pigments, wanted);
  const lab = inLight(mix.lab, belief.logLight);
  return {
    pot: gramsById(palette, mix.grams),
    ...(mix.preDiluted.length > 0 && { preDiluted: mix.preDiluted }),
    predicted: { lab, deltaE00: deltaE00(glazeLab, lab) },
  };
}

/** Growth of the whole way when strong pigments are dosed in white, 1:50 at the most. */
function dilutedGrowth(standing: Standing): number {
  const { palette, smallest } = standing.request;
  const way = wayFrom(standing, new Float64Array(palette.length), smallest / 50);
  return way && way.whole.deltaE00 < FAR ? way.growth : Infinity;
}

/** The pigment that the pot has most too much of, against the shares of a mix like the glaze. */
function excessOf({ request, belief }: Standing, shares: Float64Array): string {
  const total = belief.effective.reduce((sum, grams) => sum + grams, 0);
  return request.palette
    .map(({ id }, p) => ({
      id,
      ratio: belief.effective[p]! / total / (shares[p]! * belief.pigments[p]!.strength + 1e-4),
    }))
    .sort((a, b) => b.ratio - a.ratio)[0]!.id;
}

/** A recipe in words: what is stirred into white first, and the rest by mass. */
function listed({ pot, preDiluted = [] }: FreshMix, request: NudgeRequest): string {
  const { grams } = writtenAs(request.writing);
  const white = request.palette.find(({ isWhite }) => isWhite)?.id;
  const inDilutions = (id: string) =>
    preDiluted.reduce((sum, { pigment, parts, grams: given }) => {
      if (id === pigment) return sum + given / (parts + 1);
      return id === white ? sum + (given * parts) / (parts + 1) : sum;
    }, 0);
  return [
    ...Object.entries(pot)
      .map(([id, mass]) => [id, mass - inDilutions(id)] as const)
      .filter(([, mass]) => mass > 1e-9)
      .map(([id, mass]) => `${id} ${grams(mass, 6)}`),
    ...preDiluted.map(
      ({ pigment, parts, grams: given }) => `${pigment} 1 : ${parts} in white ${grams(given, 6)}`,
    ),
  ].join(', ');
}
