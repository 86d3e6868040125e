/** What an addition that the hand rounds to its own doses, or chooses itself, is expected to lead to. */
import { standingOf, suggestionOf } from './standing.ts';
import type { NudgeRequest, PotGrams, Suggestion } from './types.ts';

/**
 * A checked request (`checkNudgeRequest`) and additions in grams ≥ 0 by pigment id → the suggestion it
 * would be. A RangeError names a pigment that is not in the palette, or a mass that is none.
 */
export function expectationOf(request: NudgeRequest, additions: PotGrams): Suggestion {
  const { palette } = request;
  for (const [id, grams] of Object.entries(additions)) {
    if (!palette.some((pigment) => pigment.id === id)) {
      throw new RangeError(`“${id}” is not in the palette`);
    }
    if (!(grams >= 0 && Number.isFinite(grams))) {
      throw new RangeError(`“${id}”: ${grams} g is not a mass`);
    }
  }
  const standing = standingOf(request);
  const grams = Float64Array.from(palette, ({ id }) => additions[id] ?? 0);
  return { ...suggestionOf(standing, standing.judge(grams)), additions };
}
