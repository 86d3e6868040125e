/** The pot as it stands: what its readings teach, and what an addition to it is worth. */
import { ASSUMED, type Assumed } from './assumed.ts';
import { learn, type Belief } from './belief.ts';
import { characterise, type Characterised } from './characterise.ts';
import { choiceOf } from './choice.ts';
import { shareKept } from './doses.ts';
import { againstOneGlaze } from './glaze-readings.ts';
import { judgeFor, type Judge, type Judged } from './judge.ts';
import { SURFACE } from './kubelka-munk.ts';
import { spreadOfDeltaE00 } from './metric.ts';
import { notesOf } from './notes.ts';
import type { ReadPot } from './pot-model.ts';
import { strengthsOf } from './strengths.ts';
import type { NudgeRequest, PalettePigment, PotGrams, Suggestion } from './types.ts';
import { judgeUnderLamps, missesUnderLamps, type MissesUnderLamps } from './under-lamps.ts';

/** Attempts that are learned from; older ones say little about the pot as it is now. */
const MOST_ATTEMPTS = 12;

export interface Standing {
  readonly request: NudgeRequest;
  readonly characterised: readonly Characterised[];
  readonly belief: Belief;
  /** All readings that are learned from, oldest first, against the glaze as it was read last. */
  readonly readings: readonly ReadPot[];
  /** What is recorded to be in the pot, grams in the order of the palette. */
  readonly inPot: Float64Array;
  /** Places in the palette of what may be added. */
  readonly choice: readonly number[];
  readonly potGrams: number;
  readonly judge: Judge;
  /** Absent where the request names no other lamp. */
  readonly misses?: MissesUnderLamps;
  /** The pot with nothing added, its dab as all readings together tell it. */
  readonly asItIs: Judged;
}

/** `request` is checked (`checkNudgeRequest`). */
export function standingOf(request: NudgeRequest): Standing {
  const { palette, glazeLab } = request;
  const readings = readingsOf(request);
  const characterised = characterise(palette, SURFACE);
  const belief = learn(
    characterised,
    strengthsOf(palette, request.strengths),
    readings,
    SURFACE,
    assumedFor(request),
  );
  const { grams: inPot } = readings.at(-1)!;
  const choice = choiceOf(palette, characterised, inPot);
  const potGrams = inPot.reduce((sum, grams) => sum + grams, 0);
  const misses = request.lamps?.length ? missesUnderLamps(belief, request.lamps) : undefined;
  const judge = judgeUnderLamps(judgeFor(belief, glazeLab, potGrams), misses);
  const asItIs = judge(new Float64Array(palette.length));
  return {
    request,
    characterised,
    belief,
    readings,
    inPot,
    choice,
    potGrams,
    judge,
    asItIs,
    ...(misses && { misses }),
  };
}

/** What the estimate assumes of these readings. */
export function assumedFor({
  lightSigma = ASSUMED.light,
}: Pick<NudgeRequest, 'lightSigma'>): Assumed {
  return { ...ASSUMED, light: lightSigma };
}

/** What a set of additions is handed out as. */
export function suggestionOf(
  { request, belief, potGrams, misses }: Standing,
  item: Judged,
): Suggestion {
  const { palette, glazeLab } = request;
  const spread = spreadOfDeltaE00(glazeLab, item.lab, item.covariance);
  const quantile = (p: number) => spread[Math.round(p * (spread.length - 1))]!;
  const underLamps = misses?.(item.additions);
  return {
    additions: gramsById(palette, item.additions),
    ...(item.preDiluted?.length && { preDiluted: item.preDiluted }),
    predicted: {
      lab: item.lab,
      deltaE00: item.deltaE00,
      interval95: [
        Math.min(item.deltaE00, quantile(0.025)),
        Math.max(item.deltaE00, quantile(0.975)),
      ],
    },
    ...(underLamps && { underLamps }),
    // Without the noise of binary fractions.
    growth: Number(
      (item.additions.reduce((sum, grams) => sum + grams, 0) / potGrams).toPrecision(12),
    ),
    notes: notesOf(request, belief.colourAfter, item),
  };
}

/** Grams in the order of the palette → by id, without what is not there. */
export function gramsById(palette: readonly PalettePigment[], grams: Float64Array): PotGrams {
  return Object.fromEntries(
    palette.flatMap(({ id }, p) => (grams[p]! > 0 ? [[id, grams[p]!] as const] : [])),
  );
}

/** History and present pot, oldest first; a history that already ends with the present dab has it once. */
export function readingsOf(
  request: Pick<NudgeRequest, 'palette' | 'history' | 'smallest' | 'glazeLab'> &
    Partial<Pick<NudgeRequest, 'pot' | 'dabLab'>>,
): ReadPot[] {
  const { palette, history, smallest, glazeLab, pot, dabLab } = request;
  const gramsOf = (amounts: PotGrams) => Float64Array.from(palette, ({ id }) => amounts[id] ?? 0);
  const attempts = history.map((attempt) => ({ ...attempt, grams: gramsOf(attempt.pot) }));
  if (pot && dabLab) {
    const grams = gramsOf(pot);
    const last = attempts.at(-1);
    const isThere =
      last !== undefined &&
      last.grams.every((value, p) => Math.abs(value - grams[p]!) < 1e-9) &&
      last.dabLab.every((value, axis) => value === dabLab[axis]);
    if (isThere) attempts.pop();
    attempts.push({ pot, dabLab, glazeLab, grams });
  }
  const recent = attempts.slice(-MOST_ATTEMPTS);
  if (recent.length === 0) return [];
  const labs =
    recent.at(-1)!.glazeLab === undefined
      ? recent.map(({ dabLab: read }) => read)
      : againstOneGlaze(recent, ASSUMED.reading);
  return recent.map(({ grams }, index) => ({
    grams,
    lab: labs[index]!,
    kept: index === 0 ? 1 : (shareKept(recent[index - 1]!.grams, grams, smallest / 2) ?? 1),
  }));
}
