/**
 * A colour transform from a chart's patches: the most probable one (MAP), given what transforms may be and
 * what one leaves over of a surface; both Gaussian, so it is one linear solve.
 */
import { Matrix, solve } from 'ml-matrix';
import { colourTerms, type ColourMethod, type ColourTransform, type StatedFor } from './profile.ts';
import { rootSlope, rowsOf, transformPrior } from './transform-prior.ts';

export interface PatchLight {
  /** Camera light, and XYZ as stated, each over the chart's own white. */
  readonly rgb: readonly [number, number, number];
  readonly xyz: readonly [number, number, number];
}

export interface FitWay {
  readonly method: ColourMethod;
  /** How loosely the prior is held: variances this many times those of plausible cameras. */
  readonly spread: number;
}

export interface FittedTransforms {
  /** To XYZ under the lamp: for readings. */
  readonly lamp: ColourTransform;
  /** To XYZ as the chart states it: what a patch left out is held against. */
  readonly stated: ColourTransform;
}

export function fitTransforms(
  { method, spread }: FitWay,
  patches: readonly PatchLight[],
  statedFor: StatedFor,
): FittedTransforms {
  const { mean, precision, scatter } = transformPrior(method, statedFor);
  const count = colourTerms(method, [1, 1, 1]).length;
  const half = 3 * (count - 1);
  const isLamp = statedFor === 'lamp';
  const scatters = isLamp ? scatter.lamp : scatter.stated;
  const information = Matrix.div(precision, spread);
  const pull = information.mmul(Matrix.columnVector([...mean]));
  for (const { rgb, xyz } of patches) {
    const terms = colourTerms(method, rgb);
    for (const k of [0, 1, 2] as const) {
      const weight = (rootSlope(xyz[k]) / scatters[k]) ** 2;
      const line = terms.map((t) => t - terms[k]!).toSpliced(k, 1);
      const from = (isLamp ? 0 : half) + k * (count - 1);
      line.forEach((p, i) => {
        const at = from + i;
        pull.set(at, 0, pull.get(at, 0) + weight * p * (xyz[k] - terms[k]!));
        line.forEach((q, j) => {
          information.set(at, from + j, information.get(at, from + j) + weight * p * q);
        });
      });
    }
  }
  const free = solve(information, pull).to1DArray();
  const lamp = { method, rows: rowsOf(free.slice(0, half), count) };
  return { lamp, stated: isLamp ? lamp : { method, rows: rowsOf(free.slice(half), count) } };
}
