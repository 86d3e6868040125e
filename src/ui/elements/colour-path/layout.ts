/** Where the two plots of the picture stand, a*–b* and L*, and how a colour becomes a place. */
import type { LabD65 } from '../../../colour/spaces.ts';
import { commonRanges, type Range } from './geometry.ts';
import type { Box } from './labels.ts';

/** Room for numbers and names of the axes, px. */
const LEFT = 40;
const BELOW = 34;
const GAP = 8;
/** Where the dots stand in L*, and the first pull. */
const DOTS = 32;
const PULLS = 52;
/** From one pull to the next. */
const APART = 6;
/** a*–b* is never narrower than this while L* stands beside it, nor wider than that. */
const LEAST_SIDE = 260;
const MOST_SIDE = 440;
/** The picture never shows less than this, CIELAB: below it only noise would be drawn large. */
const LEAST_RANGE = 6;

export interface Layout {
  readonly width: number;
  readonly height: number;
  /** Both as high, and a unit as long in both. */
  readonly flat: Box;
  readonly upright: Box;
  /** Of a*, b* and L*, CIELAB. */
  readonly ranges: { readonly a: Range; readonly b: Range; readonly L: Range };
  /** CIELAB across a plot, and px for one of it. */
  readonly range: number;
  readonly unit: number;
  readonly x: (a: number) => number;
  readonly y: (b: number) => number;
  readonly yL: (L: number) => number;
  /** Of the dots on the L* axis. */
  readonly middle: number;
  /** Of a pull on it, and where the names end. */
  readonly pullAt: (index: number) => number;
}

/**
 * @param labs what is to be seen
 * @param room px from side to side
 * @param pulls so many, and the width of the longest name, px
 */
export function layoutOf(
  labs: readonly LabD65[],
  room: number,
  pulls: { readonly count: number; readonly name: number },
): Layout {
  const axis = (index: 0 | 1 | 2) => labs.map((lab) => lab[index]);
  // Air round the outermost, for names and arrows.
  const [L, a, b] = commonRanges([axis(0), axis(1), axis(2)], LEAST_RANGE).map(
    ({ from, to }): Range => ({ from: from - 0.3 * (to - from), to: to + 0.3 * (to - from) }),
  ) as [Range, Range, Range];
  const upright = PULLS + APART * pulls.count + pulls.name + 16;
  const beside = room - LEFT - upright - LEFT;
  // Where both do not fit beside each other, L* stands below, as wide as a* and b*.
  const isStacked = beside < LEAST_SIDE;
  const side = Math.min(MOST_SIDE, isStacked ? Math.max(160, room - LEFT - 4) : beside);
  const left = isStacked ? LEFT : LEFT + side + LEFT;
  const top = isStacked ? GAP + side + BELOW + GAP : GAP;
  const wide = isStacked ? side : upright;
  const range = a.to - a.from;
  const unit = side / range;
  return {
    width: left + wide,
    height: isStacked ? top + side + GAP : GAP + side + BELOW,
    flat: { left: LEFT, top: GAP, right: LEFT + side, bottom: GAP + side },
    upright: { left, top, right: left + wide, bottom: top + side },
    ranges: { a, b, L },
    range,
    unit,
    x: (value) => LEFT + (value - a.from) * unit,
    y: (value) => GAP + (b.to - value) * unit,
    yL: (value) => top + (L.to - value) * unit,
    middle: left + DOTS,
    pullAt: (index) => left + PULLS + APART * index,
  };
}
