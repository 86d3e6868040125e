/** What is said beside the numbers: cautions of a suggestion, and why there is none. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { LabD65 } from '../colour/spaces.ts';
import type { Belief } from './belief.ts';
import { compose } from './first-mix.ts';
import { hazardOf } from './hazards.ts';
import type { Judge, Judged } from './judge.ts';
import type { NudgeRequest } from './types.ts';

/** Dose error by which overshoot is judged: two standard deviations of a hand's 15 %. */
const HEAVY_HAND = 1.3;
/** ΔE₀₀ that a heavy hand may cost before it is warned of. */
const OVERSHOOT = 1;
/** Doses below this many smallest doses are better given pre-diluted. */
const FEW_DOSES = 3;
/** From this growth on, setting part of the pot aside saves paint. */
const LARGE_GROWTH = 0.4;

export function notesOf(
  { palette, glazeLab, smallest, pot }: NudgeRequest,
  judge: Judge,
  suggestion: Judged,
): string[] {
  const notes: string[] = [];
  const potGrams = Object.values(pot).reduce((sum, grams) => sum + grams, 0);
  const white = palette.find(({ isWhite }) => isWhite);
  palette.forEach((pigment, p) => {
    const { id } = pigment;
    const grams = suggestion.additions[p]!;
    if (!(grams > 0)) return;
    const heavy = Float64Array.from(suggestion.additions);
    heavy[p] = grams * HEAVY_HAND;
    const overshot = judge(heavy);
    const moved = deltaE00(suggestion.lab, overshot.lab);
    if (moved > OVERSHOOT && overshot.deltaE00 > suggestion.deltaE00) {
      notes.push(
        `${id}: overshoot risk, 30 % too much moves the dab by ΔE00 ${moved.toFixed(1)}; give two thirds, look, then the rest`,
      );
    }
    if (white && !pigment.isWhite && grams < FEW_DOSES * smallest) {
      const parts = preDilution(grams, smallest);
      notes.push(
        `${id}: hard to dose by hand; stir 1 part into ${parts} parts of ${white.id} first and add ${tidy(grams * (parts + 1))} g of that`,
      );
    }
    const hazard = hazardOf(pigment.colourIndex);
    if (hazard) notes.push(`${id} (${pigment.colourIndex!}) ${hazard.caution}`);
  });
  const growth = suggestion.additions.reduce((sum, grams) => sum + grams, 0) / potGrams;
  if (
    growth > LARGE_GROWTH &&
    suggestion.deltaE00 < deltaE00(glazeLab, judge(new Float64Array(palette.length)).lab)
  ) {
    notes.push(
      `the pot grows by ${Math.round(100 * growth)} %: set half of it aside first and add half as much`,
    );
  }
  return notes;
}

/** Parts of white to one of pigment, 10 to 50, that make the dose ten smallest doses. */
export function preDilution(grams: number, smallest: number): number {
  const wanted = (10 * smallest) / grams - 1;
  return Math.min(50, Math.max(10, 5 * Math.ceil(wanted / 5)));
}

/** What is still bad enough to be explained when the best nudge leaves it. */
const FAR = 1.5;

/**
 * Why nothing helps, or why the best nudge does not get there; undefined when it does. `best` is
 * absent when no addition is worth making.
 */
export function reasonFor(
  request: NudgeRequest,
  belief: Belief,
  asItIs: Judged,
  best: Judged | undefined,
): string | undefined {
  const { palette, glazeLab, smallest, largestGrowth } = request;
  if (best && best.deltaE00 < FAR) return undefined;
  if (!best && asItIs.deltaE00 < 1) {
    return `already blends as far as dosing allows: ΔE00 ${asItIs.deltaE00.toFixed(1)}, and no addition is sure to bring it nearer`;
  }
  const reached = (best ?? asItIs).deltaE00;
  const fresh = compose(belief.pigments, glazeLab, 1e-5);
  if (fresh.deltaE00 > reached - 0.5) {
    return `the glaze lies outside what this palette mixes: nearest ΔE00 ${Math.min(fresh.deltaE00, reached).toFixed(1)}; ${missing(glazeLab, (best ?? asItIs).lab)} is missing`;
  }
  const total = belief.effective.reduce((sum, grams) => sum + grams, 0);
  const excess = palette
    .map(({ id }, p) => ({
      id,
      share: belief.effective[p]! / belief.pigments[p]!.strength / total,
      wanted: fresh.shares[p]!,
    }))
    .filter(({ share, wanted }) => share > 1.15 * wanted)
    .sort((a, b) => b.share / (b.wanted + 1e-6) - a.share / (a.wanted + 1e-6))[0];
  const within = `within ${Math.round(100 * largestGrowth)} % growth and doses of ${smallest} g`;
  if (!excess) {
    return `additions ${within} get no nearer than ΔE00 ${reached.toFixed(1)}; a fresh mix would come to ${fresh.deltaE00.toFixed(1)}`;
  }
  const growth = excess.wanted > 0 ? excess.share / excess.wanted - 1 : Infinity;
  return best
    ? `too much ${excess.id} for one nudge: ${within} the pot comes to ΔE00 ${reached.toFixed(1)}; go on adding, or start again with less ${excess.id}`
    : `start again: too much ${excess.id}${growth < 20 ? `, the pot would have to grow ${(1 + growth).toFixed(1)} times` : ''}; a fresh mix would come to ΔE00 ${fresh.deltaE00.toFixed(1)}`;
}

/** What would have to be added to get from `reached` to the glaze, in a mixer's words. */
function missing(glaze: LabD65, reached: LabD65): string {
  const lightness = glaze[0] - reached[0];
  const chroma = Math.hypot(glaze[1], glaze[2]) - Math.hypot(reached[1], reached[2]);
  const hue = hueName(glaze);
  const words = [
    { size: Math.abs(lightness), word: lightness > 0 ? 'a lighter paint' : 'a darker paint' },
    {
      size: Math.hypot(glaze[1] - reached[1], glaze[2] - reached[2]),
      word: chroma < -1 ? `a duller ${hue}` : `a stronger ${hue}`,
    },
  ];
  return words.sort((a, b) => b.size - a.size)[0]!.word;
}

/** Hue in the trade's words, by CIELAB hue angle. */
function hueName([, a, b]: LabD65): string {
  if (Math.hypot(a, b) < 3) return 'grey';
  const angle = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  const names: readonly (readonly [number, string])[] = [
    [20, 'pink'],
    [55, 'red'],
    [75, 'orange'],
    [105, 'yellow'],
    [135, 'yellow green'],
    [185, 'green'],
    [230, 'turquoise'],
    [290, 'blue'],
    [330, 'violet'],
    [360, 'pink'],
  ];
  return names.find(([upTo]) => angle <= upTo)![1];
}

const tidy = (grams: number) => Number(grams.toPrecision(2));
