/** The patches of a chart in a picture, from its four corners. */
import { labFromXyzD65, xyzD65FromLab } from '../../colour/cielab.ts';
import {
  linearFromEncoded,
  linearSrgbFromXyzD65,
  xyzD65FromLinearSrgb,
} from '../../colour/srgb.ts';
import { linearRgb, type LabD65 } from '../../colour/spaces.ts';
import { clippedCode, signedArea } from '../picture.ts';
import { median, robustSigma } from '../robust.ts';
import type { EncodedPicture, PixelPoint } from '../types.ts';
import { CHART_COLUMNS, CHART_PATCHES, CHART_ROWS, type ReferencePatch } from './cgats.ts';
import { LEAST_PATCHES, type ChartPatch } from './fit-chart.ts';
import { homography } from './homography.ts';

/** Share of a patch's side that is sampled, round its middle. */
const SAMPLED = 0.4;
/** Codes under this share of range are black, and spread over this share is no even patch. */
const DARK = 0.02;
const UNEVEN = 0.05;
/** Fewest pixels a patch. */
const LEAST_PIXELS = 25;
/** Mean distance in CIELAB beyond which this is another chart, or none. */
const UNLIKE = 25;

export type ChartSamples =
  | {
      readonly ok: true;
      readonly patches: readonly ChartPatch[];
      readonly warnings: readonly string[];
    }
  /** One line for the person; nothing can be made of this picture. */
  | { readonly ok: false; readonly message: string };

interface Seen {
  readonly at: { readonly x: number; readonly y: number };
  readonly encoded: readonly [number, number, number];
  readonly fault?: 'clipped' | 'dark' | 'uneven' | 'outside';
}

/**
 * @param corners the chart's own outer corners (of the field of patches), px, in order round it,
 *   beginning anywhere; a chart upside down is turned right, a mirrored one is refused
 * @param reference 24 patches, row by row
 */
export function sampleChart(
  picture: EncodedPicture,
  corners: readonly PixelPoint[],
  reference: readonly ReferencePatch[],
): ChartSamples {
  const fault = (message: string): ChartSamples => ({ ok: false, message });
  const count = CHART_PATCHES;
  if (reference.length !== count) {
    return fault(
      `The reference has ${String(reference.length)} patches; ${String(count)} are needed.`,
    );
  }
  if (corners.length !== 4) return fault('The chart’s four corners are needed.');
  const ways = [0, 1, 2, 3].flatMap((turn) =>
    [false, true].map((mirrored) => {
      const turned = corners.map((_, i) => corners[(i + turn) % 4]!);
      const seen = patchesSeen(picture, mirrored ? turned.reverse() : turned);
      return { mirrored, seen, distance: distanceFrom(seen, reference) };
    }),
  );
  const best = ways.reduce((p, q) => (q.distance < p.distance ? q : p));
  if (best.distance > UNLIKE) {
    return fault('What lies between the corners is not the chart of the reference.');
  }
  const usable = best.seen.filter((patch) => !patch.fault).length;
  if (usable < LEAST_PATCHES) {
    return fault(
      `Only ${String(usable)} of ${String(count)} patches can be read: the chart is half hidden, clipped or in the shade.`,
    );
  }
  if (best.mirrored !== signedArea(corners) < 0) {
    return fault('The chart is mirrored: turn the mirroring of the picture off.');
  }
  const left = best.seen.flatMap(({ fault: f }, i) =>
    f ? [`Patch ${reference[i]!.name} is left out: it is ${WHY[f]}.`] : [],
  );
  const patches = best.seen.flatMap((seen, i) =>
    seen.fault ? [] : [{ ...reference[i]!, encoded: seen.encoded, at: seen.at }],
  );
  return { ok: true, patches, warnings: left };
}

const WHY = {
  clipped: 'too bright',
  dark: 'too dark',
  uneven: 'uneven, perhaps by a highlight',
  outside: 'outside the picture',
} as const;

function patchesSeen(picture: EncodedPicture, corners: readonly PixelPoint[]): readonly Seen[] {
  const place = bySquare(corners);
  return Array.from({ length: CHART_PATCHES }, (_, i) => {
    const u = ((i % CHART_COLUMNS) + 0.5) / CHART_COLUMNS;
    const v = (Math.floor(i / CHART_COLUMNS) + 0.5) / CHART_ROWS;
    return patchSeen(picture, place, u, v);
  });
}

function patchSeen(
  picture: EncodedPicture,
  place: (u: number, v: number) => PixelPoint,
  u: number,
  v: number,
): Seen {
  const { width, height, rgba, maxCode } = picture;
  const at = { x: 2 * u - 1, y: 2 * v - 1 };
  const values: [number[], number[], number[]] = [[], [], []];
  let clipped = 0;
  let outside = 0;
  const steps = 24;
  for (let i = 0; i < steps; i++) {
    for (let j = 0; j < steps; j++) {
      const du = (((i + 0.5) / steps - 0.5) * SAMPLED) / CHART_COLUMNS;
      const dv = (((j + 0.5) / steps - 0.5) * SAMPLED) / CHART_ROWS;
      const p = place(u + du, v + dv);
      const [x, y] = [Math.floor(p.x), Math.floor(p.y)];
      if (!(x >= 0 && y >= 0 && x < width && y < height)) {
        outside++;
        continue;
      }
      const from = (y * width + x) * 4;
      const codes = [rgba[from]!, rgba[from + 1]!, rgba[from + 2]!];
      if (codes.some((code) => code >= clippedCode(maxCode))) clipped++;
      values.forEach((list, k) => list.push(codes[k]! / maxCode));
    }
  }
  if (outside > 0 || values[0].length < LEAST_PIXELS) {
    return { at, encoded: [0, 0, 0], fault: 'outside' };
  }
  const encoded = values.map((list) => median(list)) as unknown as Seen['encoded'];
  const brightest = Math.max(...encoded);
  const spread = Math.max(...values.map((list) => robustSigma(list)));
  const seen = { at, encoded };
  if (clipped > 0.01 * values[0].length) return { ...seen, fault: 'clipped' };
  if (brightest < DARK) return { ...seen, fault: 'dark' };
  return spread > UNEVEN ? { ...seen, fault: 'uneven' } : seen;
}

/** Unit square → picture, by the four corners (0,0), (1,0), (1,1), (0,1). */
const bySquare = (corners: readonly PixelPoint[]) =>
  homography(corners.map((to, i) => ({ u: i === 1 || i === 2 ? 1 : 0, v: i > 1 ? 1 : 0, to })));

/** Mean distance in CIELAB when each channel may be scaled: which way round the chart lies. */
function distanceFrom(seen: readonly Seen[], reference: readonly ReferencePatch[]): number {
  const used = seen.flatMap((patch, i) =>
    patch.fault === 'outside' ? [] : [{ patch, lab: reference[i]!.lab }],
  );
  if (used.length < LEAST_PATCHES) return Infinity;
  const light = used.map(({ patch }) => patch.encoded.map(linearFromEncoded));
  const wanted = used.map(({ lab }) => linearSrgbFromXyzD65(xyzD65FromLab(lab)));
  const gain = [0, 1, 2].map((k) => {
    const sum = (list: readonly (readonly number[])[]) =>
      list.reduce((total, v) => total + Math.max(0, v[k]!), 1e-6);
    return sum(wanted) / sum(light);
  });
  const distances = used.map(({ lab }, i) => {
    const [r, g, b] = light[i]!.map((v, k) => v * gain[k]!) as [number, number, number];
    return distance(lab, labFromXyzD65(xyzD65FromLinearSrgb(linearRgb(r, g, b))));
  });
  return distances.reduce((sum, d) => sum + d, 0) / distances.length;
}

const distance = (p: LabD65, q: LabD65): number =>
  Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
