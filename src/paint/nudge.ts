/** From a request to suggestions: characterise, learn, search, and say it. */
import { ASSUMED } from './assumed.ts';
import { contradictionsOf } from './contradictions.ts';
import { harmlessChoiceOf, HAZARD_WORTH, isHazardous } from './choice.ts';
import { coarsestStep, inHand } from './hand.ts';
import { GROWTH_COST, TOUCH_COST, type Judged } from './judge.ts';
import { SURFACE } from './kubelka-munk.ts';
import { metricAt } from './metric.ts';
import { ofSmallPot } from './notes.ts';
import { outlookOf } from './outlook.ts';
import { FAR, firstStep, wayFrom, type Way } from './plan.ts';
import { dosedWith, withDilutions } from './pre-dilution.ts';
import { potRead, readAgain } from './read-again.ts';
import { NARROW, QUICK, searchRecipes, WIDE, type SearchLimits } from './search.ts';
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
/** From this growth on a finer dose may save paint. */
const MUCH = 0.4;
/** What pre-diluting must gain to be worth its trouble, in ΔE₀₀². */
const WORTH_DILUTING = 0.3;
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
  const { found, diluted } = nudgesFrom(standing);
  const reached = (found[0] ?? asItIs).deltaE00;
  const none = new Float64Array(palette.length);
  const isShort = reached > (found.length > 0 ? FAR : IMPERCEPTIBLE);
  const way = isShort ? wayFrom(standing, none) : undefined;
  const leads = way !== undefined && way.whole.deltaE00 < NEARER * reached;
  const ranked = leads ? alongTheWay(standing, found, way) : found;
  const outlook = outlookOf(standing, ranked[0], way);
  const read = potRead(standing.readings, request.glazeLab);
  const again = readAgain(read, request.glazeLab, request.writing);
  return {
    ok: true,
    suggestions: (outlook.hopeless ? [] : chosen(ranked)).map((item, rank) => {
      const suggestion = suggestionOf(standing, item);
      if (rank > 0 || !diluted || diluted === item) return suggestion;
      return { ...suggestion, notes: [...suggestion.notes, ...ofSmallPot(request, diluted)] };
    }),
    ...(outlook.reason === undefined ? {} : { reason: outlook.reason }),
    ...(read.count > 1 && { readTogether: { count: read.count, deltaE00: read.deltaE00 } }),
    ...(again === undefined ? {} : { readAgain: again }),
    ...(outlook.startAgain === undefined ? {} : { startAgain: outlook.startAgain }),
    warnings: contradictionsOf(palette, belief.surprise, request.writing),
    strengths: Object.fromEntries(
      palette.map(({ id }, p) => [id, Math.exp(belief.strengths[p]!.logMean)]),
    ),
    learned: Object.fromEntries(palette.map(({ id }, p) => [id, belief.strengths[p]!])),
  };
}

interface Nudges {
  /** Worth a touch, best first. */
  readonly found: readonly Judged[];
  /** What pre-diluting a strong pigment would do better than the best that needs none. */
  readonly diluted?: Judged;
}

/**
 * Single nudges: without hazardous pigments where those come about as near, and with strong ones
 * pre-diluted, if they may be, where doses as small as this hand's are too coarse.
 */
function nudgesFrom(standing: Standing): Nudges {
  const { request, characterised, choice, asItIs, inPot } = standing;
  const { palette, mayPreDilute } = request;
  const found = nudgesOf(standing, choice, WIDE);
  const bringsHazard = ({ additions }: Judged) =>
    palette.some((one, p) => additions[p]! > 0 && !(inPot[p]! > 0) && isHazardous(one));
  if (found[0] && bringsHazard(found[0])) {
    const harmless = harmlessChoiceOf(palette, characterised, inPot);
    const [other] = nudgesOf(standing, harmless, QUICK);
    if (other && isAboutAsGood(other, found[0])) found.unshift(other);
  }
  const best = found[0];
  const isCoarse = !best || best.deltaE00 > IMPERCEPTIBLE || growthOf(standing, best) > MUCH;
  if (!isCoarse || asItIs.deltaE00 <= IMPERCEPTIBLE) return { found };
  const wanted = (best?.cost ?? asItIs.cost) - WORTH_DILUTING;
  const diluted = dilutedNudges(standing).find(({ cost }) => cost < wanted);
  if (!diluted) return { found };
  return { found: mayPreDilute ? [diluted, ...found] : found, diluted };
}

function isAboutAsGood(harmless: Judged, other: Judged): boolean {
  return (
    harmless.deltaE00 <= other.deltaE00 + HAZARD_WORTH &&
    Math.sqrt(harmless.cost) <= Math.sqrt(other.cost) + HAZARD_WORTH
  );
}

const growthOf = ({ potGrams }: Standing, { additions }: Judged) =>
  additions.reduce((sum, grams) => sum + grams, 0) / potGrams;

/** The same from some of the palette, in what this hand can dose. */
function nudgesOf(
  standing: Standing,
  pigments: readonly number[],
  beam: SearchLimits['beam'],
): Judged[] {
  const { request, belief, judge, misses } = standing;
  const { palette, glazeLab } = request;
  const limits = limitsOf(standing, pigments, beam);
  const found = searchRecipes(belief, glazeLab, metricAt(glazeLab), SURFACE, limits).map(
    ({ pigments: added, grams }) => {
      const additions = new Float64Array(palette.length);
      added.forEach((p, i) => (additions[p] = inHand(palette[p]!.id, grams[i]!, request)));
      return judge(additions);
    },
  );
  const holding = misses
    ? soughtUnderLamps(
        found,
        judge,
        (grams, p) => inHand(palette[p]!.id, grams, request),
        limits.most,
      )
    : found;
  return worthATouch(standing, holding).filter(
    (item) => growthOf(standing, item) <= request.largestGrowth * (1 + 1e-6),
  );
}

/** Nudges with at least one strong pigment stirred into white beforehand, best first. */
function dilutedNudges(standing: Standing): Judged[] {
  const { request, belief, choice, judge } = standing;
  const { palette, glazeLab } = request;
  const paints = withDilutions(palette, belief.pigments);
  const diluted = paints.of.flatMap((p, i) => (choice.includes(p) ? [palette.length + i] : []));
  if (!choice.includes(paints.white) || diluted.length === 0) return [];
  const effective = new Float64Array(paints.pigments.length);
  effective.set(belief.effective);
  const ground = { ...belief, pigments: paints.pigments, effective };
  const limits = limitsOf(standing, [...choice, ...diluted], NARROW);
  const found = searchRecipes(ground, glazeLab, metricAt(glazeLab), SURFACE, limits).flatMap(
    ({ pigments, grams }) => {
      const wanted = new Float64Array(paints.pigments.length);
      pigments.forEach((p, i) => (wanted[p] = grams[i]!));
      const dosed = dosedWith(paints, palette, wanted, request);
      if (dosed.preDiluted.length === 0) return [];
      const judged = judge(dosed.grams);
      const cost = judged.cost + TOUCH_COST * dosed.preDiluted.length;
      return [{ ...judged, cost, preDiluted: dosed.preDiluted }];
    },
  );
  return worthATouch(standing, found);
}

function limitsOf(
  { request, potGrams }: Standing,
  pigments: readonly number[],
  beam: SearchLimits['beam'],
): SearchLimits {
  const most = request.largestGrowth * potGrams;
  // Rounded up, four doses are at most two larger.
  const room = 2 * coarsestStep(request);
  return {
    smallest: request.smallest,
    most: Math.max(most / 2, most - room),
    potGrams,
    dose: ASSUMED.dose,
    growthCost: GROWTH_COST,
    pigments,
    beam,
  };
}

/** What lowers the difference enough, best first. Where the dab still shows, nearer is worth any growth. */
function worthATouch({ asItIs }: Standing, found: readonly Judged[]): Judged[] {
  const showsStill = asItIs.deltaE00 > IMPERCEPTIBLE;
  return found
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
  const dose = (grams: number, p: number) => inHand(request.palette[p]!.id, grams, request);
  const first = judge(step.map((grams, p) => (grams > 0 ? dose(grams, p) : 0)));
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
