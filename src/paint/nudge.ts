/** From a request to suggestions: characterise, learn, search, and say it. */
import { ASSUMED, learn, type ReadPot } from './belief.ts';
import { characterise } from './characterise.ts';
import { GROWTH_COST, judgeFor, type Judged } from './judge.ts';
import { SURFACE } from './kubelka-munk.ts';
import { metricAt, spreadOfDeltaE00 } from './metric.ts';
import { notesOf } from './notes.ts';
import { outlookOf } from './outlook.ts';
import { searchRecipes, WIDE } from './search.ts';
import type { NudgeAnswer, NudgeRequest, PotGrams, Suggestion } from './types.ts';

/** Suggestions handed out. */
const MOST_SUGGESTIONS = 5;
/** Attempts that are learned from; older ones say little about the pot as it is now. */
const MOST_ATTEMPTS = 24;
/** Half of all observers see no difference: Paravina et al. 2015. */
const IMPERCEPTIBLE = 0.8;
/** A suggestion must lower the expected ΔE₀₀² by this much, or it is not worth a touch. */
const LEAST_GAIN = 0.02;

/**
 * The next additions, best first, for a checked request (`checkNudgeRequest`). Pure: the same request
 * has the same answer.
 */
export function nudge(request: NudgeRequest): NudgeAnswer {
  const { palette, glazeLab, smallest, largestGrowth } = request;
  const readings = readingsOf(request);
  const present = readings.at(-1)!;
  const belief = learn(
    characterise(palette, SURFACE),
    palette.map(({ strength }) => strength ?? 1),
    readings,
    SURFACE,
  );
  const potGrams = sum(present.grams);
  const metric = metricAt(glazeLab);
  const judge = judgeFor(belief, glazeLab, potGrams);
  const asItIs = judge(new Float64Array(palette.length));
  // Where the dab still shows, nearer is worth any growth that is allowed.
  const showsStill = asItIs.deltaE00 > IMPERCEPTIBLE;
  const limits = {
    smallest,
    most: largestGrowth * potGrams,
    potGrams,
    dose: ASSUMED.dose,
    growthCost: GROWTH_COST,
    pigments: [...palette.keys()],
    beam: WIDE,
  };
  const found = searchRecipes(belief, glazeLab, metric, SURFACE, limits)
    .map(({ pigments, grams }) => {
      const additions = new Float64Array(palette.length);
      pigments.forEach((p, i) => (additions[p] = doseable(grams[i]!, smallest)));
      return judge(additions);
    })
    .filter(({ expected, cost }) => (showsStill ? expected : cost) < asItIs.cost - LEAST_GAIN)
    .sort((a, b) => a.cost - b.cost);
  const outlook = outlookOf(request, belief, judge, asItIs, found[0]);
  const suggestions = (outlook.startAgain ? [] : chosen(found)).map((item): Suggestion => {
    const spread = spreadOfDeltaE00(glazeLab, item.lab, item.covariance);
    const quantile = (p: number) => spread[Math.round(p * (spread.length - 1))]!;
    return {
      additions: Object.fromEntries(
        palette.flatMap(({ id }, p) =>
          item.additions[p]! > 0 ? [[id, item.additions[p]!] as const] : [],
        ),
      ),
      predicted: {
        lab: item.lab,
        deltaE00: item.deltaE00,
        interval95: [
          Math.min(item.deltaE00, quantile(0.025)),
          Math.max(item.deltaE00, quantile(0.975)),
        ],
      },
      growth: sum(item.additions) / potGrams,
      notes: notesOf(request, judge, item),
    };
  });
  return {
    ok: true,
    suggestions,
    ...(outlook.reason === undefined ? {} : { reason: outlook.reason }),
    strengths: Object.fromEntries(palette.map(({ id }, p) => [id, belief.strengths[p]!])),
  };
}

/** History and present pot, oldest first; a history that already ends with the present dab has it once. */
export function readingsOf({ palette, pot, dabLab, history }: NudgeRequest): ReadPot[] {
  const gramsOf = (amounts: PotGrams) => Float64Array.from(palette, ({ id }) => amounts[id] ?? 0);
  const readings = history.map((attempt) => ({
    grams: gramsOf(attempt.pot),
    lab: attempt.dabLab,
  }));
  const grams = gramsOf(pot);
  const last = readings.at(-1);
  const isThere =
    last !== undefined &&
    last.grams.every((value, p) => Math.abs(value - grams[p]!) < 1e-9) &&
    last.lab.every((value, axis) => value === dabLab[axis]);
  if (!isThere) readings.push({ grams, lab: dabLab });
  return readings.slice(-MOST_ATTEMPTS);
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
function doseable(grams: number, smallest: number): number {
  const step = smallest / 10;
  return Number((Math.max(10, Math.floor(grams / step + 1e-6)) * step).toPrecision(12));
}

const sum = (values: Float64Array) => values.reduce((total, value) => total + value, 0);
