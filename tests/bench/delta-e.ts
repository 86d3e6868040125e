/** The blend map's kernel against other ways to the same numbers, over the same pixels, in one run. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { converter, differenceCiede2000 } from 'culori';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labFromXyzD65 } from '../../src/colour/cielab.ts';
import { deltaE00OfPixels } from '../../src/colour/delta-e-kernel.ts';
import { labD65, linearRgb, type LabD65, type LinearRgb } from '../../src/colour/spaces.ts';
import { LINEAR_OF_CODE, xyzD65FromLinearSrgb } from '../../src/colour/srgb.ts';

const WIDTH = 640;
const HEIGHT = 480;
const PIXELS = WIDTH * HEIGHT;
const GAIN = [1.12, 1.03, 0.94] as const;
const GLAZE = labD65(72, -8, 14);

/** A glazed surface with a band of another hue, noise of a few codes, and a lamp to one side. */
function picture(): { readonly rgba: Uint8Array; readonly shading: Float32Array } {
  let state = 20050130;
  const noise = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state / 2 ** 32 - 0.5) * 24;
  };
  const rgba = new Uint8Array(4 * PIXELS);
  const shading = new Float32Array(PIXELS);
  for (let i = 0; i < PIXELS; i++) {
    const x = (i % WIDTH) / WIDTH;
    const y = Math.floor(i / WIDTH) / HEIGHT;
    shading[i] = Math.exp(-0.4 * (x - 0.3) ** 2 - 0.3 * y ** 2);
    const base = y > 0.6 ? [60, 80, 150] : [168, 172, 148];
    base.forEach((code, channel) => (rgba[4 * i + channel] = code * shading[i]! ** 0.45 + noise()));
    rgba[4 * i + 3] = 255;
  }
  return { rgba, shading };
}

/** Nanoseconds a pixel, the best of `rounds`: what the work costs when nothing else runs. */
function best(rounds: number, work: () => void): number {
  let least = Infinity;
  for (let round = 0; round < rounds; round++) {
    const start = performance.now();
    work();
    least = Math.min(least, performance.now() - start);
  }
  return (least * 1e6) / PIXELS;
}

export function benchDeltaE(): void {
  const { rgba, shading } = picture();
  const channel = (i: number, c: 0 | 1 | 2) =>
    (LINEAR_OF_CODE[rgba[4 * i + c]!]! * GAIN[c]) / shading[i]!;
  const linearOf = (i: number): LinearRgb => linearRgb(channel(i, 0), channel(i, 1), channel(i, 2));
  const labOf = (i: number): LabD65 => labFromXyzD65(xyzD65FromLinearSrgb(linearOf(i)));
  const lab = Array.from({ length: PIXELS }, (_, i) => labOf(i));
  const out = new Float32Array(PIXELS);

  const kernel = best(30, () => {
    deltaE00OfPixels({ rgba, shading, gain: GAIN, glazeLab: GLAZE }, out);
  });
  let worst = 0;
  lab.forEach(
    (colour, i) => (worst = Math.max(worst, Math.abs(deltaE00(GLAZE, colour) - out[i]!))),
  );

  const scalar = best(3, () => {
    for (let i = 0; i < PIXELS; i++) out[i] = deltaE00(GLAZE, labOf(i));
  });
  const toLab65 = converter('lab65');
  const difference = differenceCiede2000();
  const glaze = { mode: 'lab65', l: GLAZE[0], a: GLAZE[1], b: GLAZE[2] } as const;
  const culori = best(3, () => {
    for (let i = 0; i < PIXELS; i++) {
      const [r, g, b] = linearOf(i);
      out[i] = difference(glaze, toLab65({ mode: 'lrgb', r, g, b }));
    }
  });
  const inLab65 = lab.map(([l, a, b]) => ({ mode: 'lab65', l, a, b }) as const);
  const culoriFromLab = best(3, () => {
    inLab65.forEach((colour, i) => (out[i] = difference(glaze, colour)));
  });
  const c = timeC(lab);

  console.log(`ΔE₀₀ of ${WIDTH} × ${HEIGHT} pixels from one colour, one thread, ns a pixel`);
  const line = (name: string, ns: number) =>
    console.log(
      `  ${name.padEnd(44)} ${ns.toFixed(1).padStart(8)}   ${(ns / kernel).toFixed(1)} ×`,
    );
  line('kernel, from pixels', kernel);
  line('scalar TypeScript, from pixels', scalar);
  line('culori, from pixels', culori);
  line('culori, from Lab alone', culoriFromLab);
  if (c === undefined) console.log('  C with libm: no C compiler here');
  else line('C with libm, from Lab alone', c);
  console.log(
    `  worst error of the kernel over these pixels ${worst.toExponential(1)} (reach 5e-3)`,
  );
  console.log(`  reach: 10 × culori from pixels; ahead of C from Lab alone`);
}

/** ns a pair of the formula as plain C, double precision; undefined when there is no compiler. */
function timeC(lab: readonly LabD65[]): number | undefined {
  if (spawnSync('cc', ['--version']).status !== 0) return undefined;
  const folder = mkdtempSync(join(tmpdir(), 'delta-e-'));
  try {
    const source = join(folder, 'loop.c');
    const program = join(folder, 'loop');
    writeFileSync(source, C_LOOP);
    execFileSync('cc', ['-O2', '-o', program, source, '-lm']);
    const input = new Uint8Array(Float64Array.from([...GLAZE, ...lab.flat()]).buffer);
    return Number(execFileSync(program, { input, encoding: 'utf8' }));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Reads the glaze and the Lab values as doubles; prints the best of five rounds, ns a pair. */
const C_LOOP = `
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
static double difference(const double *p, const double *q) {
  const double degree = acos(-1) / 180, k = 6103515625.0;
  double c = (hypot(p[1], p[2]) + hypot(q[1], q[2])) / 2, c7 = pow(c, 7);
  double g = 1.5 - 0.5 * sqrt(c7 / (c7 + k));
  double a1 = g * p[1], a2 = g * q[1], c1 = hypot(a1, p[2]), c2 = hypot(a2, q[2]);
  double h1 = c1 == 0 ? 0 : atan2(p[2], a1) / degree, h2 = c2 == 0 ? 0 : atan2(q[2], a2) / degree;
  if (h1 < 0) h1 += 360;
  if (h2 < 0) h2 += 360;
  double dh = 0, h = h1 + h2;
  if (c1 * c2 != 0) {
    dh = h2 - h1;
    if (dh > 180) dh -= 360;
    else if (dh < -180) dh += 360;
    if (fabs(h1 - h2) <= 180) h /= 2;
    else h = h < 360 ? (h + 360) / 2 : (h - 360) / 2;
  }
  double l = (p[0] + q[0]) / 2 - 50, cm = (c1 + c2) / 2, cm7 = pow(cm, 7);
  double t = 1 - 0.17 * cos((h - 30) * degree) + 0.24 * cos(2 * h * degree)
           + 0.32 * cos((3 * h + 6) * degree) - 0.2 * cos((4 * h - 63) * degree);
  double theta = 30 * exp(-((h - 275) / 25) * ((h - 275) / 25));
  double rt = -sin(2 * theta * degree) * 2 * sqrt(cm7 / (cm7 + k));
  double x = (q[0] - p[0]) / (1 + 0.015 * l * l / sqrt(20 + l * l));
  double y = (c2 - c1) / (1 + 0.045 * cm);
  double z = 2 * sqrt(c1 * c2) * sin(dh / 2 * degree) / (1 + 0.015 * cm * t);
  return sqrt(x * x + y * y + z * z + rt * y * z);
}
int main(void) {
  size_t n = ${PIXELS};
  double *lab = malloc((n + 1) * 3 * sizeof *lab), best = 1e9;
  float *out = malloc(n * sizeof *out);
  if (!lab || !out || fread(lab, 3 * sizeof *lab, n + 1, stdin) != n + 1) return 1;
  for (int round = 0; round < 5; round++) {
    struct timespec from, to;
    clock_gettime(CLOCK_MONOTONIC, &from);
    for (size_t i = 0; i < n; i++) out[i] = difference(lab, lab + 3 * (i + 1));
    clock_gettime(CLOCK_MONOTONIC, &to);
    double ns = ((to.tv_sec - from.tv_sec) * 1e9 + (to.tv_nsec - from.tv_nsec)) / n;
    if (ns < best) best = ns;
  }
  double sum = 0;
  for (size_t i = 0; i < n; i++) sum += out[i];
  if (!(sum > 0)) return 1;
  printf("%.3f", best);
  return 0;
}
`;
