/** Where adding leads: whether it gets there, why not, and when it is better to start again. */
import type { LabD65 } from '../colour/spaces.ts';
import type { Belief } from './belief.ts';
import { compose } from './first-mix.ts';
import type { Judge, Judged } from './judge.ts';
import { SURFACE } from './kubelka-munk.ts';
import { metricAt } from './metric.ts';
import { potMass } from './pot.ts';
import { NARROW, searchRecipes } from './search.ts';
import type { NudgeRequest } from './types.ts';

export interface Outlook {
  /** In the person's words; absent when the best nudge gets there. */
  readonly reason?: string;
  /** No amount of adding gets near, but a fresh mix would. */
  readonly startAgain: boolean;
}

/** ΔE₀₀ from which a nudge that gets no nearer is explained. */
const FAR = 1.5;
/** ΔE₀₀ below which there is nothing to explain. */
const NEAR = 1;
/** A pot that would have to grow by more than this is better started again. */
const HOPELESS_GROWTH = 8;
/** ΔE₀₀ by which a fresh mix must do better than adding ever can, to be advised. */
const WORTH_STARTING_AGAIN = 2;

/** A nudge that leaves less than this part of the difference is made all the same. */
const WORTH_A_NUDGE = 0.7;

/** `best` is the best nudge, absent when no addition is worth making. */
export function outlookOf(
  request: NudgeRequest,
  belief: Belief,
  judge: Judge,
  asItIs: Judged,
  best: Judged | undefined,
): Outlook {
  const { palette, pot, glazeLab, smallest, largestGrowth } = request;
  if (best && best.deltaE00 < FAR) return { startAgain: false };
  const reached = (best ?? asItIs).deltaE00;
  if (!best && reached < NEAR) {
    return {
      startAgain: false,
      reason: `already blends as far as dosing allows: ΔE00 ${shown(reached)}, and no addition is sure to bring it nearer`,
    };
  }
  const potGrams = potMass(pot);
  const fresh = compose(belief.pigments, glazeLab, smallest / (potGrams * (1 + largestGrowth)));
  const ever = everReached(request, belief, judge) ?? asItIs;
  const everGrowth = ever.additions.reduce((sum, grams) => sum + grams, 0) / potGrams;
  if (Math.min(reached, ever.deltaE00) < fresh.deltaE00 + 0.5 && fresh.deltaE00 > FAR) {
    const nearest = Math.min(reached, ever.deltaE00, fresh.deltaE00);
    return {
      startAgain: false,
      reason: `the glaze lies outside what this palette mixes: nearest ΔE00 ${shown(nearest)}; ${missing(glazeLab, fresh.lab)} is missing`,
    };
  }
  const total = belief.effective.reduce((sum, grams) => sum + grams, 0);
  const excess = palette
    .map(({ id }, p) => ({
      id,
      ratio:
        belief.effective[p]! / total / (fresh.shares[p]! * belief.pigments[p]!.strength + 1e-4),
    }))
    .sort((a, b) => b.ratio - a.ratio)[0]!.id;
  const helps = best !== undefined && best.deltaE00 < WORTH_A_NUDGE * asItIs.deltaE00;
  const startAgain =
    !helps &&
    ever.deltaE00 > 2 * FAR &&
    fresh.deltaE00 < Math.min(reached, ever.deltaE00) - WORTH_STARTING_AGAIN;
  if (startAgain) {
    return {
      startAgain,
      reason: `start again: too much ${excess} in the pot, even ${HOPELESS_GROWTH} times its mass of additions come no nearer than ΔE00 ${shown(ever.deltaE00)}; a fresh mix would come to ${shown(fresh.deltaE00)}`,
    };
  }
  if (best) {
    const far =
      everGrowth > largestGrowth
        ? `; the pot would have to grow by ${percent(everGrowth)} to come to ΔE00 ${shown(ever.deltaE00)}, or start again with less ${excess}`
        : '';
    return { startAgain, reason: `one nudge comes to ΔE00 ${shown(reached)}${far}` };
  }
  return {
    startAgain,
    reason: `no addition of ${Number(smallest.toPrecision(3))} g or more and at most ${percent(largestGrowth)} growth brings it nearer than ΔE00 ${shown(reached)}: set part of the pot aside, or pre-dilute the strong pigments in white to dose less of them`,
  };
}

/** The nearest that adding comes when the pot may grow without measure. */
function everReached(
  { palette, pot, glazeLab, smallest }: NudgeRequest,
  belief: Belief,
  judge: Judge,
): Judged | undefined {
  const potGrams = potMass(pot);
  const recipe = searchRecipes(belief, glazeLab, metricAt(glazeLab), SURFACE, {
    smallest,
    most: HOPELESS_GROWTH * potGrams,
    potGrams,
    dose: 0,
    growthCost: 0.01,
    pigments: [...palette.keys()],
    beam: NARROW,
  })[0];
  if (!recipe) return undefined;
  const additions = new Float64Array(palette.length);
  recipe.pigments.forEach((p, i) => (additions[p] = recipe.grams[i]!));
  return judge(additions);
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

const shown = (deltaE00: number) => deltaE00.toFixed(1);
const percent = (share: number) => `${Math.round(100 * share)} %`;
