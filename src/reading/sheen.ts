/**
 * A sheen broader than the ring, and paint duller or glossier than the glaze under it. What the dab lacks
 * of it looks like darker, stronger paint; what it has more of, like paler.
 *
 * How much the glaze mirrors at the dab, the glaze further off tells. How much of that the dab lacks, no
 * picture does; but a dab that was mixed to match is seldom far off, and so what was read counts.
 */
import type { FarBlock } from './far-glaze.ts';
import { likelyShares, paleness, towardsLamp, type Gleam } from './gleam.ts';
import { exceededBy, type Weighted } from './robust.ts';
import type { FieldFit } from './shading-field.ts';

/** How far off the glaze is taken in, radii of the dab: a sheen may end before a shade begins. */
const REACHES = [5, Infinity];
/** How often a dab shines as its glaze does; else it lacks any part of the sheen, or has up to so much more. */
const ALIKE = 0.5;
const GLOSSIER = 0.5;
/** How far a dab is from its glaze, ln light and ln of channel ratio: scales of a Cauchy distribution. */
const MIXED_LIGHT = 0.15;
const MIXED_RATIO = 0.1;
const PARTS = 30;
/** As much of a normal distribution lies beyond so many standard deviations on one side. */
const ONCE_IN_FORTY = 0.025;
const DEVIATIONS = 1.96;

/**
 * What the dab may lack, or have more, of the sheen on the glaze round it: standard deviation.
 * @param far blocks of glaze round the dab and further off
 */
export function sheenMissing(
  { glaze, step }: Pick<FieldFit, 'glaze' | 'step'>,
  far: readonly FarBlock[],
): Gleam {
  const along = towardsLamp(glaze);
  const saturation = Math.hypot(along[1], along[2]);
  const paler = (step[1] * along[1] + step[2] * along[2]) / (saturation || 1);
  /** How likely a dab is to differ as it would if it lacked so much: seldom much, yet a first dab may. */
  const mixed = (lacks: number) =>
    (1 +
      ((step[0] + lacks) / MIXED_LIGHT) ** 2 +
      ((paler + lacks * saturation) / MIXED_RATIO) ** 2) **
    -1.5;
  const deviations = REACHES.map((reach) => {
    const seen = paleness(
      glaze,
      along,
      far.filter(({ away }) => away < reach),
    );
    if (!seen) return 0;
    const ways: Weighted[] = [];
    for (const { share, probability } of likelyShares(seen)) {
      const mirrored = share * seen.brighter;
      ways.push({ value: 0, weight: (mirrored > 0 ? ALIKE : 1) * probability * mixed(0) });
      if (mirrored === 0) continue;
      for (let k = 0; k < PARTS; k++) {
        const lacks = mirrored * (((k + 0.5) / PARTS) * (1 + GLOSSIER) - GLOSSIER);
        ways.push({
          value: Math.abs(lacks),
          weight: ((1 - ALIKE) / PARTS) * probability * mixed(lacks),
        });
      }
    }
    return exceededBy(ways, ONCE_IN_FORTY) / DEVIATIONS;
  });
  return { logLight: Math.max(...deviations), along };
}
