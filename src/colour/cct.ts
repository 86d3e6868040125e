/**
 * Correlated colour temperature of a light and its distance from the Planckian locus, CIE 1931 2°
 * observer. Distances are in the CIE 1960 (u, v) diagram, as CIE 15:2004, 9.5 defines them.
 */
import { planckian } from './illuminants.ts';
import { OBSERVER_1931 } from './observers.ts';
import type { Xyz, XyzD65 } from './spaces.ts';

export interface Chromaticity {
  readonly x: number;
  readonly y: number;
}
export interface ColourTemperature {
  /** K. */
  readonly kelvin: number;
  /** Distance from the Planckian locus in (u, v): above 0 greener, below 0 pinker than it. */
  readonly duv: number;
}

/** Range the locus is searched in, K. */
const COLDEST = 1000;
const HOTTEST = 25_000;
/** CIE 15:2004, 9.5: further from the locus than this a colour temperature says nothing. */
export const FARTHEST_DUV = 0.05;

/** x, y of any XYZ of which the sum is above zero; else a RangeError. */
export function chromaticityOf([X, Y, Z]: Xyz | XyzD65): Chromaticity {
  const sum = X + Y + Z;
  if (!(sum > 0)) throw new RangeError('black has no chromaticity');
  return { x: X / sum, y: Y / sum };
}

/** u, v of the CIE 1960 uniform chromaticity scale. */
export function uv1960({ x, y }: Chromaticity): { readonly u: number; readonly v: number } {
  const d = -2 * x + 12 * y + 3;
  return { u: (4 * x) / d, v: (6 * y) / d };
}

/**
 * Ohno 2014, “Practical use and calculation of CCT and Duv”, LEUKOS 10(1), 47–55: a table of the
 * locus at 1 % steps, the triangular solution near the locus (eq. 5–9) and the parabolic one further
 * off (eq. 10–13), with the triangular step made small enough to need no correction factor.
 * @returns undefined outside 1000–25 000 K, or further than 0.05 from the locus
 */
export function ohnoTemperature(light: Chromaticity): ColourTemperature | undefined {
  const at = uv1960(light);
  let [low, high] = [COLDEST, HOTTEST];
  let found: ColourTemperature | undefined;
  // The table is laid anew and finer about the nearest entry until it is finer than 0.01 %.
  for (let step = 0.03; step > 5e-5; step /= 10) {
    const table = locus(low, high, step);
    const distances = table.map(({ u, v }) => Math.hypot(at.u - u, at.v - v));
    const m = distances.indexOf(Math.min(...distances));
    if (m === 0 || m === table.length - 1) return undefined;
    found = between(at, table, distances, m);
    [low, high] = [table[m - 1]!.kelvin / (1 + step), table[m + 1]!.kelvin * (1 + step)];
  }
  return found && Math.abs(found.duv) <= FARTHEST_DUV ? found : undefined;
}

interface Entry {
  readonly kelvin: number;
  readonly u: number;
  readonly v: number;
}

function locus(low: number, high: number, step: number): Entry[] {
  const table: Entry[] = [];
  for (let kelvin = low; kelvin <= high * (1 + step); kelvin *= 1 + step) {
    table.push({ kelvin, ...uv1960(planckianChromaticity(kelvin)) });
  }
  return table;
}

/** Eq. 5–13: the solution from the nearest entry and its neighbours. */
function between(
  at: { readonly u: number; readonly v: number },
  table: readonly Entry[],
  d: readonly number[],
  m: number,
): ColourTemperature {
  const [before, here, after] = [table[m - 1]!, table[m]!, table[m + 1]!];
  const [d0, d1, d2] = [d[m - 1]!, d[m]!, d[m + 1]!];
  const l = Math.hypot(after.u - before.u, after.v - before.v);
  const x = (d0 ** 2 - d2 ** 2 + l ** 2) / (2 * l);
  const across = Math.sqrt(Math.max(0, d0 ** 2 - x ** 2));
  const vOnLocus = before.v + ((after.v - before.v) * x) / l;
  const sign = at.v >= vOnLocus ? 1 : -1;
  if (across < 0.002) {
    return {
      kelvin: before.kelvin + ((after.kelvin - before.kelvin) * x) / l,
      duv: sign * across,
    };
  }
  const [t0, t1, t2] = [before.kelvin, here.kelvin, after.kelvin];
  const X = (t2 - t1) * (t0 - t2) * (t1 - t0);
  const a = (t0 * (d2 - d1) + t1 * (d0 - d2) + t2 * (d1 - d0)) / X;
  const b = -(t0 ** 2 * (d2 - d1) + t1 ** 2 * (d0 - d2) + t2 ** 2 * (d1 - d0)) / X;
  const c = -(d0 * (t2 - t1) * t1 * t2 + d1 * (t0 - t2) * t0 * t2 + d2 * (t1 - t0) * t0 * t1) / X;
  const kelvin = -b / (2 * a);
  return { kelvin, duv: sign * (a * kelvin ** 2 + b * kelvin + c) };
}

function planckianChromaticity(kelvin: number): Chromaticity {
  const { power } = planckian(kelvin);
  const { xBar, yBar, zBar } = OBSERVER_1931;
  const sum = (bar: Float64Array) => bar.reduce((s, value, k) => s + value * power[k]!, 0);
  const [X, Y, Z] = [sum(xBar), sum(yBar), sum(zBar)];
  return { x: X / (X + Y + Z), y: Y / (X + Y + Z) };
}
