/**
 * The first requests of a worker take several times as long as later ones, for its code is compiled as
 * it runs. These are for having that out before anybody waits.
 */
import { labD65 } from '../colour/spaces.ts';
import { genericPalette } from './generic-pigments.ts';
import type { NudgeRequest } from './types.ts';

const palette = genericPalette();
const [white, black, blue, , , yellow, red] = palette.map(({ id }) => id) as [string, ...string[]];
const asked = { palette, smallest: 0.002, largestGrowth: 0.8 };

/** A step on the way with two attempts behind it, and a pot of far too much red. */
export const WARM_UP_REQUESTS: readonly NudgeRequest[] = [
  {
    ...asked,
    pot: { [white]: 5, [blue!]: 0.05, [yellow!]: 0.1 },
    dabLab: labD65(72, -8, -6),
    glazeLab: labD65(70, 3, 8),
    history: [
      { pot: { [white]: 5, [blue!]: 0.03 }, dabLab: labD65(76, -4, -18) },
      { pot: { [white]: 5, [blue!]: 0.05 }, dabLab: labD65(71, -4, -20) },
    ],
  },
  {
    ...asked,
    pot: { [white]: 1, [red!]: 4, [black!]: 0.3 },
    dabLab: labD65(30, 24, 14),
    glazeLab: labD65(55, 20, 15),
    history: [],
  },
];
