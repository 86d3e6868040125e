/** Where each pigment would pull the dab from here, all by the same amount: as arrows in both plots. */
import { svg } from 'lit';
import type { LabD65 } from '../../../colour/spaces.ts';
import { pullOfLength } from './geometry.ts';
import { column, textWidth, type Label, type Line } from './labels.ts';
import type { Layout } from './layout.ts';

/** Where a pigment pulls the dab, Lab per gram. */
export interface PullOnPath {
  /** "PB 28", or its name where it has no such code. */
  readonly code: string;
  readonly name: string;
  readonly perGram: LabD65;
}

/** Length of a pull as a share of the range: no more than the air round the outermost dab. */
const PULL_SHARE = 0.18;
/** A pull that is hardly seen in a picture is named in the other one only. */
const SEEN = 0.3;
/** Longer names are cut, and stand whole in the numbers. */
export const NAME_LETTERS = 12;

export interface PullArrow extends Line {
  readonly text: string;
}

export interface PullArrows {
  readonly flat: readonly PullArrow[];
  /** The longest first: no line to a name then crosses another arrow. */
  readonly upright: readonly PullArrow[];
}

/** @param shown how each is named in the picture, in the order of the pulls */
export function pullArrows(
  pulls: readonly PullOnPath[],
  shown: readonly string[],
  from: LabD65,
  at: Layout,
): PullArrows {
  const length = PULL_SHARE * at.range;
  const drawn = pulls.flatMap(({ perGram }, index) => {
    const pull = pullOfLength(perGram, length);
    return pull ? [{ text: shown[index]!, ...pull }] : [];
  });
  return {
    flat: drawn
      .filter(({ a, b }) => Math.hypot(a, b) > SEEN * length)
      .sort((one, other) => Math.hypot(other.a, other.b) - Math.hypot(one.a, one.b))
      .map(({ text, a, b }) => ({
        text,
        x0: at.x(from[1]),
        y0: at.y(from[2]),
        x1: at.x(from[1] + a),
        y1: at.y(from[2] + b),
      })),
    upright: drawn
      .filter(({ L }) => Math.abs(L) > SEEN * length)
      .sort((one, other) => Math.abs(other.L) - Math.abs(one.L))
      .map(({ text, L }, index) => {
        const x = at.pullAt(index);
        return { text, x0: x, y0: at.yL(from[0]), x1: x, y1: at.yL(from[0] + L) };
      }),
  };
}

/** The name goes on from the tip. */
export function pullLabel({ text, x0, y0, x1, y1 }: PullArrow): Label {
  return { text, x: x1, y: y1, towards: Math.atan2(y1 - y0, x1 - x0), gap: 4, reach: Infinity };
}

export function arrowDrawn({ x0, y0, x1, y1 }: Line) {
  const turn = (Math.atan2(y1 - y0, x1 - x0) * 180) / Math.PI;
  return svg`<path class="pull" d="M${x0} ${y0}L${x1} ${y1}"></path>
    <path class="head" d="M0 0l-8 -3.5v7z" transform="translate(${x1} ${y1}) rotate(${turn})"></path>`;
}

/** On the L* axis the names stand in a column beside the arrows, each with a line from its tip. */
export function uprightNames(arrows: readonly PullArrow[], { upright, pullAt }: Layout) {
  const byHeight = [...arrows].sort((one, other) => one.y1 - other.y1);
  const heights = column(
    byHeight.map(({ y1 }) => y1),
    upright.top + 24,
    upright.bottom - 2,
  );
  const x = pullAt(arrows.length) + 10;
  return byHeight.map(({ text, x1, y1 }, index) => {
    const y = heights[index]!;
    return svg`<path class="leader" d="M${x1 + 3} ${y1}L${x - 3} ${y}"></path>
      <text class="name" x=${x} y=${y + 4}>${text}</text>`;
  });
}

/** The widest name, px. */
export function widest(shown: readonly string[]): number {
  return Math.max(0, ...shown.map(textWidth));
}
