/** What an addition that the hand rounds to its own doses, or chooses itself, is expected to lead to. */
import { learn } from './belief.ts';
import { characterise } from './characterise.ts';
import { judgeFor } from './judge.ts';
import { SURFACE } from './kubelka-munk.ts';
import { spreadOfDeltaE00 } from './metric.ts';
import { notesOf } from './notes.ts';
import { readingsOf } from './nudge.ts';
import type { NudgeRequest, PotGrams, Suggestion } from './types.ts';

/**
 * A checked request (`checkNudgeRequest`) and additions in grams ≥ 0 by pigment id → the suggestion it
 * would be. A RangeError names a pigment that is not in the palette, or a mass that is none.
 */
export function expectationOf(request: NudgeRequest, additions: PotGrams): Suggestion {
  const { palette, glazeLab } = request;
  for (const [id, grams] of Object.entries(additions)) {
    if (!palette.some((pigment) => pigment.id === id)) {
      throw new RangeError(`“${id}” is not in the palette`);
    }
    if (!(grams >= 0 && Number.isFinite(grams))) {
      throw new RangeError(`“${id}”: ${grams} g is not a mass`);
    }
  }
  const readings = readingsOf(request);
  const belief = learn(
    characterise(palette, SURFACE),
    palette.map(({ strength }) => strength ?? 1),
    readings,
    SURFACE,
  );
  const potGrams = readings.at(-1)!.grams.reduce((total, grams) => total + grams, 0);
  const judge = judgeFor(belief, glazeLab, potGrams);
  const judged = judge(Float64Array.from(palette, ({ id }) => additions[id] ?? 0));
  const spread = spreadOfDeltaE00(glazeLab, judged.lab, judged.covariance);
  const quantile = (p: number) => spread[Math.round(p * (spread.length - 1))]!;
  return {
    additions,
    predicted: {
      lab: judged.lab,
      deltaE00: judged.deltaE00,
      interval95: [
        Math.min(judged.deltaE00, quantile(0.025)),
        Math.max(judged.deltaE00, quantile(0.975)),
      ],
    },
    growth: Object.values(additions).reduce((total, grams) => total + grams, 0) / potGrams,
    notes: notesOf(request, judge, judged),
  };
}
