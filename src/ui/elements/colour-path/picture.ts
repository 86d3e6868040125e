/** What the picture shows beside the pulls: axes, the glaze with its ellipse, the way and what is next. */
import { ticks } from 'd3-array';
import { nothing, svg } from 'lit';
import type { LabD65 } from '../../../colour/spaces.ts';
import type { Matrix3 } from '../../../reading/types.ts';
import { formatNumber } from '../numbers.ts';
import { ellipse95, lightness95 } from './geometry.ts';
import type { Box } from './labels.ts';
import type { Layout } from './layout.ts';

export interface AttemptOnPath {
  readonly number: number;
  readonly lab: LabD65;
}
type Point = readonly [x: number, y: number];

export function axesDrawn({ flat, upright, ranges: { a, b, L }, x, y, yL }: Layout) {
  const rect = ({ left, top, right, bottom }: Box) =>
    svg`<rect class="plot" x=${left} y=${top} width=${right - left} height=${bottom - top}></rect>`;
  const line = (value: number) => (value === 0 ? 'zero' : 'grid');
  return svg`
    ${rect(flat)} ${rect(upright)}
    ${ticks(a.from, a.to, 5).map(
      (value) =>
        svg`<line class=${line(value)} x1=${x(value)} x2=${x(value)} y1=${flat.top} y2=${flat.bottom}></line>
        <text x=${x(value)} y=${flat.bottom + 16} text-anchor="middle">${tick(value)}</text>`,
    )}
    ${ticks(b.from, b.to, 5).map(
      (value) =>
        svg`<line class=${line(value)} x1=${flat.left} x2=${flat.right} y1=${y(value)} y2=${y(value)}></line>
        <text x=${flat.left - 6} y=${y(value) + 4} text-anchor="end">${tick(value)}</text>`,
    )}
    ${ticks(L.from, L.to, 5).map(
      (value) =>
        svg`<line class="grid" x1=${upright.left} x2=${upright.right} y1=${yL(value)} y2=${yL(value)}></line>
        <text x=${upright.left - 6} y=${yL(value) + 4} text-anchor="end">${tick(value)}</text>`,
    )}
    <text class="axis" x=${flat.right} y=${flat.bottom + 31} text-anchor="end">a* redder →</text>
    <text class="axis" x=${flat.left + 6} y=${flat.top + 16}>b* yellower ↑</text>
    <text class="axis" x=${upright.left + 6} y=${upright.top + 16}>L* lighter ↑</text>`;
}

/** Where the names of the axes stand in their plots. */
export function axisNames({ flat, upright }: Layout): readonly Box[] {
  return [flat, upright].map(({ left, top }) => ({
    left,
    top,
    right: left + 104,
    bottom: top + 22,
  }));
}

export function glazeDrawn(glaze: LabD65, covariance: Matrix3 | undefined, at: Layout) {
  const [gx, gy, gL] = [at.x(glaze[1]), at.y(glaze[2]), at.yL(glaze[0])];
  const ellipse = covariance && ellipse95(covariance);
  const bar = covariance && lightness95(covariance) * at.unit;
  return [
    svg`${
      ellipse
        ? svg`<ellipse class="ellipse" cx=${gx} cy=${gy} rx=${ellipse.long * at.unit} ry=${ellipse.short * at.unit} transform="rotate(${-ellipse.angle} ${gx} ${gy})"></ellipse>`
        : nothing
    }<path class="glaze-mark" d="M${gx - 9} ${gy}h18M${gx} ${gy - 9}v18"></path>`,
    svg`${
      bar ? svg`<path class="ellipse" d="M${at.middle} ${gL - bar}v${2 * bar}"></path>` : nothing
    }<path class="glaze-mark" d="M${at.middle - 16} ${gL}h32"></path>`,
  ] as const;
}

export function wayDrawn(
  attempts: readonly AttemptOnPath[],
  predicted: LabD65 | undefined,
  at: Layout,
) {
  const flat = (lab: LabD65): Point => [at.x(lab[1]), at.y(lab[2])];
  const upright = (lab: LabD65): Point => [at.middle, at.yL(lab[0])];
  const dots = (where: (lab: LabD65) => Point) =>
    attempts.map(({ lab }, index) => {
      const isLast = index === attempts.length - 1;
      const [px, py] = where(lab);
      return svg`<circle class="dot ${isLast ? 'last' : ''}" cx=${px} cy=${py} r=${isLast ? 6.5 : 4}></circle>`;
    });
  const square = ([px, py]: Point) =>
    svg`<path class="glaze-mark" d=${`M${px - 6} ${py - 6}h12v12h-12z`}></path>`;
  const last = attempts.at(-1)!.lab;
  return [
    svg`<polyline class="way" points=${attempts.map(({ lab }) => flat(lab).join()).join(' ')}></polyline>
      ${
        predicted
          ? svg`<path class="next" d=${`M${flat(last).join(' ')}L${flat(predicted).join(' ')}`}></path>
            ${square(flat(predicted))}`
          : nothing
      }
      ${dots(flat)}`,
    svg`${predicted ? square(upright(predicted)) : nothing} ${dots(upright)}`,
  ] as const;
}

function tick(value: number): string {
  return formatNumber(value, Number.isInteger(value) ? 0 : 1);
}
