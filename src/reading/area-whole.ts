/** A sprayed area as one colour: its difference from the glaze, with the interval a reading would have. */
import type { LogTriple } from './log-window.ts';
import { deltaE00Interval, labDifference } from './uncertainty.ts';
import type { Matrix3, ReadingSettings, Verdict } from './types.ts';
import { verdictsOn } from './verdict.ts';
import { differenceWords } from './words.ts';

export interface WholeArea {
  readonly deltaE00: number;
  /** 95 % coverage interval of ΔE₀₀ (JCGM 101). */
  readonly interval95: readonly [number, number];
  readonly verdict: { readonly acceptable: Verdict; readonly imperceptible: Verdict };
  /** The difference in a mixer's words, largest first. */
  readonly words: readonly string[];
}

/**
 * @param glaze log colour of the glaze at the area's centre, relative to the tile, free of the turn
 * @param area mean log colour of the area in the same light
 * @param sides the glaze on each side of the area, in the same light: how far they are apart is how far
 * the glaze under the area may be from what the field says
 * @param turn standard uncertainty of the light on the piece, ln
 */
export function wholeArea(
  glaze: LogTriple,
  area: LogTriple,
  sides: readonly LogTriple[],
  turn: number,
  settings: ReadingSettings,
): WholeArea {
  const difference = labDifference(
    {
      glaze,
      step: [area[0] - glaze[0], area[1] - glaze[1], area[2] - glaze[2]],
      covariances: { shading: scatterOf(sides) },
      turn,
    },
    settings.tileColour,
    settings.profile,
  );
  const read = deltaE00Interval(difference);
  return {
    deltaE00: read.deltaE00,
    interval95: read.interval95,
    verdict: verdictsOn(read, settings.thresholds),
    words: differenceWords(difference.glazeLab, difference.dabLab),
  };
}

function scatterOf(sides: readonly LogTriple[]): Matrix3 {
  const n = Math.max(1, sides.length);
  const mean = ([0, 1, 2] as const).map((k) => sides.reduce((sum, s) => sum + s[k], 0) / n);
  const between = (j: 0 | 1 | 2, k: 0 | 1 | 2) =>
    sides.reduce((sum, s) => sum + (s[j] - mean[j]!) * (s[k] - mean[k]!), 0) / Math.max(1, n - 1);
  const row = (j: 0 | 1 | 2) => [between(j, 0), between(j, 1), between(j, 2)] as const;
  return [row(0), row(1), row(2)];
}
