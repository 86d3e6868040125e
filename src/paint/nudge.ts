/** From a request to suggestions: characterise, learn, search, and say it. */
import { ASSUMED } from './belief.ts';
import { contradictionsOf } from './contradictions.ts';
import { GROWTH_COST, type Judged } from './judge.ts';
import { SURFACE } from './kubelka-munk.ts';
import { metricAt } from './metric.ts';
import { outlookOf } from './outlook.ts';
import { FAR, firstStep, wayFrom, type Way } from './plan.ts';
import { searchRecipes, WIDE } from './search.ts';
import { standingOf, suggestionOf, type Standing } from './standing.ts';
import type { NudgeAnswer, NudgeRequest } from './types.ts';
import { soughtUnderLamps } from './under-lamps.ts';

/** Suggestions handed out. */
const MOST_SUGGESTIONS = 5;
/** Half of all observers see no difference: Paravina et al. 2015. */
const IMPERCEPTIBLE = 0.8;
/** A suggestion must lower the expected ΔE₀₀² by this much, or it is not worth a touch. */
const LEAST_GAIN = 0.02;
/** A way that leaves more than this part of what the nudge leaves leads nowhere. */
const NEARER = 0.7;
/** What paint costs on the whole way, in ΔE₀₀² for each mass of the pot. */
const PAINT_COST = 0.5;

/**
 * The next additions, best first, for a checked request (`checkNudgeRequest`). Pure: the same request
 * has the same answer.
 */
export function nudge(request: NudgeRequest): NudgeAnswer {
  const { palette } = request;
  const standing = standingOf(request);
  const { belief, asItIs } = standing;
  const found = nudgesFrom(standing);
  const reached = (found[0] ?? asItIs).deltaE00;
  const none = new Float64Array(palette.length);
  const isShort = reached > (found.length > 0 ? FAR : IMPERCEPTIBLE);
  const way = isShort ? wayFrom(standing, none) : undefined;
  const leads = way !== undefined && way.whole.deltaE00 < NEARER * reached;
  const ranked = leads ? alongTheWay(standing, found, way) : found;
  const outlook = outlookOf(standing, ranked[0], way);
  return {
    ok: true,
    suggestions: (outlook.hopeless ? [] : chosen(ranked)).map((item) =>
      suggestionOf(standing, item),
    ),
    ...(outlook.reason === undefined ? {} : { reason: outlook.reason }),
    ...(outlook.startAgain === undefined ? {} : { startAgain: outlook.startAgain }),
    warnings: contradictionsOf(palette, belief.surprise),
    strengths: Object.fromEntries(
      palette.map(({ id }, p) => [id, Math.exp(belief.strengths[p]!.logMean)]),
    ),
    learned: Object.fromEntries(palette.map(({ id }, p) => [id, belief.strengths[p]!])),
  };
}

/** Single nudges that are worth a touch, best first. */
function nudgesFrom({ request, belief, potGrams, judge, asItIs, misses }: Standing): Judged[] {
  const { palette, glazeLab, smallest, largestGrowth } = request;
  // Where the dab still shows, nearer is worth any growth that is allowed.
  const showsStill = asItIs.deltaE00 > IMPERCEPTIBLE;
  const most = largestGrowth * potGrams;
  const found = searchRecipes(belief, glazeLab, metricAt(glazeLab), SURFACE, {
    smallest,
    most,
    potGrams,
    dose: ASSUMED.dose,
    growthCost: GROWTH_COST,
    pigments: [...palette.keys()],
    beam: WIDE,
  }).map(({ pigments, grams }) => {
    const additions = new Float64Array(palette.length);
    pigments.forEach((p, i) => (additions[p] = doseable(grams[i]!, smallest)));
    return judge(additions);
  });
  const holding = misses
    ? soughtUnderLamps(found, judge, (grams) => doseable(grams, smallest), most)
    : found;
  return holding
    .filter(({ expected, cost }) => (showsStill ? expected : cost) < asItIs.cost - LEAST_GAIN)
    .sort((a, b) => a.cost - b.cost);
}

/**
 * The nudges with the first step of the whole way among them. The step goes first when less paint is
 * needed in all that way than after the nudge that comes nearest now.
 */
function alongTheWay(standing: Standing, found: readonly Judged[], way: Way): readonly Judged[] {
  const { request, potGrams, judge } = standing;
  const { smallest, largestGrowth } = request;
  const step = firstStep(way.whole.additions, smallest, largestGrowth * potGrams);
  if (!step.some((grams) => grams > 0)) return found;
  const first = judge(step.map((grams) => (grams > 0 ? doseable(grams, smallest) : 0)));
  const best = found[0];
  if (!best) return [first];
  // A step that is to be made good later is for when there is nothing better to do.
  if (first.deltaE00 >= standing.asItIs.deltaE00) return found;
  const after = wayFrom(standing, best.additions);
  const costOf = (whole: Way) => whole.whole.deltaE00 ** 2 + PAINT_COST * whole.growth;
  return after && costOf(after) <= costOf(way) ? found : [first, ...found];
}

/**
 * The best few that differ, and the best single addition among them: a hand likes one touch. What
 * only adds a pigment to a better one is left out.
 */
function chosen(found: readonly Judged[]): Judged[] {
  const few: Judged[] = [];
  for (const item of found) {
    if (few.length === MOST_SUGGESTIONS) break;
    const more = few.some((better) =>
      better.additions.every((grams, p) => grams === 0 || item.additions[p]! > 0),
    );
    if (!more) few.push(item);
  }
  const single = found.find(({ additions }) => additions.filter((g) => g > 0).length === 1);
  if (single && !few.includes(single)) few.splice(MOST_SUGGESTIONS - 1, 1, single);
  return few;
}

/** Doses as a scale shows them: to a tenth of the smallest dose, rather less than more. */
export function doseable(grams: number, smallest: number): number {
  const step = smallest / 10;
  return Number((Math.max(10, Math.floor(grams / step + 1e-6)) * step).toPrecision(12));
}
