import { describe, expect, it } from 'vitest';
import { nodeOpenCv } from '../../../src/headless/opencv.ts';
import { findChart } from '../../../src/reading/profile/chart-finder.ts';
import { sampleChart } from '../../../src/reading/profile/chart-sampling.ts';
import { fitChart } from '../../../src/reading/profile/fit-chart.ts';
import type { PixelPoint } from '../../../src/reading/types.ts';
import { CHART, chartPicture, fieldCorners, type Shot } from './chart-picture.ts';

const cv = nodeOpenCv();
const at = (x: number, y: number): PixelPoint => ({ x, y });
const SQUARE_ON: Shot['board'] = [at(180, 140), at(760, 140), at(760, 545), at(180, 545)];
const ASKEW: Shot['board'] = [at(240, 120), at(800, 210), at(720, 600), at(150, 470)];

/** Greatest distance from a true corner to the nearest found one, px. */
function cornerError(found: readonly PixelPoint[], board: Shot['board']): number {
  return Math.max(
    ...fieldCorners(board).map((p) =>
      Math.min(...found.map((q) => Math.hypot(p.x - q.x, p.y - q.y))),
    ),
  );
}

describe('finding a chart of 24 patches', () => {
  it.each([
    ['square on', SQUARE_ON, 0.12],
    ['askew and in perspective', ASKEW, 0.12],
    ['on a light board', ASKEW, 0.97],
    ['standing on end', [at(620, 60), at(650, 640), at(260, 650), at(240, 80)] as const, 0.12],
  ])('%s: its corners within a tenth of a patch', (_, board, boardCode) => {
    const found = findChart(cv, chartPicture({ board, boardCode }));
    expect(found).toHaveLength(4);
    expect(cornerError(found!, board)).toBeLessThan(8);
  });

  it('a chart upside down is turned right by its colours', () => {
    const [p, q, r, s] = ASKEW;
    const picture = chartPicture({ board: [r, s, p, q] });
    const samples = sampleChart(picture, findChart(cv, picture)!, CHART);
    expect(samples.ok && samples.patches.map(({ name }) => name)).toEqual(
      CHART.map(({ name }) => name),
    );
    // Codes of the patch named, as drawn: the lightest grey is the nineteenth.
    expect(samples.ok && Math.min(...samples.patches[18]!.encoded)).toBeGreaterThan(0.85);
  });

  it('a mirrored chart is refused in plain words', () => {
    const picture = chartPicture({ board: ASKEW, mirrored: true });
    const samples = sampleChart(picture, findChart(cv, picture)!, CHART);
    expect(samples).toMatchObject({
      ok: false,
      message: expect.stringContaining('mirrored') as string,
    });
  });

  it('a half hidden chart is not found', () => {
    const picture = chartPicture({ board: SQUARE_ON, hidden: (x) => x > 470 });
    expect(findChart(cv, picture)).toBeUndefined();
  });

  it('a row hidden: not found, for which row it was nobody knows', () => {
    const picture = chartPicture({ board: SQUARE_ON, hidden: (_, y) => y < 250 });
    expect(findChart(cv, picture)).toBeUndefined();
  });

  it('a picture without a chart has none', () => {
    const far = [at(-900, -900), at(-800, -900), at(-800, -850), at(-900, -850)] as const;
    expect(findChart(cv, chartPicture({ board: far }))).toBeUndefined();
  });

  it('patches under a highlight are named and left out', () => {
    // A lamp's image over one corner of the chart.
    const light = (u: number, v: number) =>
      0.8 + 9 * Math.exp(-((u - 0.1) ** 2 + (v - 0.1) ** 2) / 0.003);
    const picture = chartPicture({ board: SQUARE_ON, light });
    const samples = sampleChart(picture, findChart(cv, picture)!, CHART);
    expect(samples.ok && samples.patches.some(({ name }) => name === 'P1')).toBe(false);
    expect(samples.ok && samples.warnings.join(' ')).toContain('Patch P1 is left out');
  });

  it('given corners of something else, says that it is not the chart', () => {
    const picture = chartPicture({ board: SQUARE_ON });
    const corners = [at(10, 10), at(100, 10), at(100, 100), at(10, 100)];
    expect(sampleChart(picture, corners, CHART)).toMatchObject({ ok: false });
  });
});

describe('a profile from the chart found', () => {
  // The chart is drawn in sRGB, so a perfect fit exists; what is left is 8 bits and the grain.
  it.each([
    ['even light', () => 0.9],
    [
      'light that falls off by a third across the chart',
      (u: number, v: number) => Math.exp(-0.3 * u - 0.1 * v),
    ],
  ])('%s: patches left out are predicted to 1 ΔE₀₀', (_, light) => {
    const picture = chartPicture({ board: ASKEW, light });
    const samples = sampleChart(picture, findChart(cv, picture)!, CHART);
    if (!samples.ok) throw new Error(samples.message);
    const fitted = fitChart(samples.patches);
    if (!fitted.ok) throw new Error(fitted.message);
    expect(fitted.fit.colour.leftOut.mean).toBeLessThan(1);
    expect(fitted.fit.warnings).toEqual([]);
  });

  it('warns of a camera that brightens parts of the picture by themselves', () => {
    // Shadows lifted more on one side of the chart than on the other: no plane, no curve.
    const light = (u: number, v: number) => 0.9 * (v > 0.7 ? 1 + 0.55 * Math.sin(9 * u) : 1) * 0.62;
    const picture = chartPicture({ board: SQUARE_ON, light });
    const samples = sampleChart(picture, findChart(cv, picture)!, CHART);
    if (!samples.ok) throw new Error(samples.message);
    const fitted = fitChart(samples.patches);
    const said = fitted.ok ? fitted.fit.warnings.join(' ') : fitted.message;
    expect(said).toMatch(/one curve|right order/);
  });
});
