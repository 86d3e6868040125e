/** Ways to choose the next addition: the tool's own, and what a mixer would do without it. */
import type { LabD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import type { NudgeAnswer, PalettePigment, PotGrams } from '../../src/paint/types.ts';
import { knownBest, type Bench } from './nudges-all-knowing.ts';
import type { Random } from './paint-truth.ts';

/** A request as a caller of the command writes it. */
export interface SentRequest {
  readonly palette: readonly PalettePigment[];
  readonly pot: PotGrams;
  readonly glazeLab: LabD65;
  readonly dabLab: LabD65;
  readonly history?: readonly {
    readonly pot: PotGrams;
    readonly dabLab: LabD65;
    readonly glazeLab?: LabD65;
  }[];
  readonly smallest: number;
  readonly largestGrowth: number;
}

/** What to add, and what was promised of it if anything was; no additions: gives up, for a reason. */
export interface Choice {
  readonly additions?: PotGrams;
  readonly interval95?: readonly [number, number];
  readonly reason?: string;
  /** The mix from nothing that is advised beside or in place of adding. */
  readonly startAgain?: PotGrams;
  /** Whether another reading is advised before this dab is called a match. */
  readonly readAgain?: boolean;
  /** Whether the answer warns of a contradiction. */
  readonly warned?: boolean;
}
export type Policy = (
  request: SentRequest,
  random: Random,
  follow: 'first' | 'single',
  bench: Bench,
) => Choice;

/** The tool as the command line offers it: through JSON, there and back. */
const byTool: Policy = (request, _, follow) => {
  const sent: unknown = JSON.parse(JSON.stringify(request));
  const answer = JSON.parse(JSON.stringify(answerNudge(sent))) as NudgeAnswer;
  if (!answer.ok) throw new Error(answer.error);
  const single = answer.suggestions.find(({ additions }) => Object.keys(additions).length === 1);
  const taken = (follow === 'single' ? single : undefined) ?? answer.suggestions[0];
  return {
    ...(taken && { additions: taken.additions, interval95: taken.predicted.interval95 }),
    ...(answer.reason === undefined ? {} : { reason: answer.reason }),
    ...(answer.startAgain && { startAgain: answer.startAgain.pot }),
    readAgain: answer.readAgain !== undefined,
    warned: answer.warnings.length > 0,
  };
};

/** The tool's solver without tints and without memory: masstones alone. */
const byMasstone: Policy = (request, random, follow, bench) =>
  byTool(
    {
      ...request,
      palette: request.palette.map((pigment) => ({
        id: pigment.id,
        masstone: pigment.masstone,
        ...(pigment.isWhite ? { isWhite: true } : {}),
      })),
      history: [],
    },
    random,
    follow,
    bench,
  );

const potGrams = (pot: PotGrams) => Object.values(pot).reduce((sum, grams) => sum + grams, 0);

/** Any pigment, any dose from the smallest to a tenth of the pot. */
const byChance: Policy = ({ palette, pot, smallest }, { uniform }) => {
  const { id } = palette[Math.floor(palette.length * uniform())]!;
  const span = Math.log((0.1 * potGrams(pot)) / smallest);
  return { additions: { [id]: smallest * Math.exp(span * uniform()) } };
};

/**
 * The pigment whose masstone lies most in the direction from dab to glaze, and a fifth of what would
 * be needed if colours mixed along straight lines in Lab: a careful hand that knows paints are strong.
 */
const byHue: Policy = ({ palette, pot, dabLab, glazeLab, smallest, largestGrowth }) => {
  const difference = (from: LabD65, to: LabD65) => from.map((value, axis) => to[axis]! - value);
  const dot = (x: readonly number[], y: readonly number[]) =>
    x.reduce((sum, value, axis) => sum + value * y[axis]!, 0);
  const wanted = difference(dabLab, glazeLab);
  const best = palette
    .map(({ id, isWhite, masstone }) => {
      const way = difference(dabLab, masstone);
      const length = Math.sqrt(dot(way, way)) + 1e-9;
      return { id, isWhite, length, along: dot(way, wanted) / length };
    })
    .sort((a, b) => b.along - a.along)[0]!;
  const share = Math.min(0.9, Math.max(0, best.along / best.length));
  const straight = (potGrams(pot) * share) / (1 - share);
  const dose = Math.min(largestGrowth * potGrams(pot), best.isWhite ? straight : straight / 5);
  return { additions: { [best.id]: Math.max(smallest, dose) } };
};

/** No solver can know as much: the glaze as it was read, everything else as it truly is. */
const byTruth: Policy = ({ glazeLab }, _random, _follow, bench) => {
  const additions = knownBest(bench, glazeLab);
  return Object.keys(additions).length > 0 ? { additions } : {};
};

export const POLICIES = {
  'the tool': byTool,
  'all-knowing': byTruth,
  'masstone only': byMasstone,
  'one by hue': byHue,
  random: byChance,
} as const satisfies Readonly<Record<string, Policy>>;
export type PolicyName = keyof typeof POLICIES;
