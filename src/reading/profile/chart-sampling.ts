/** The patches of a chart in a picture, from its four corners. */
import { labFromXyzD65, xyzD65FromLab } from '../../colour/cielab.ts';
import {
  linearFromEncoded,
  linearSrgbFromXyzD65,
  xyzD65FromLinearSrgb,
} from '../../colour/srgb.ts';
import { linearRgb, type LabD65 } from '../../colour/spaces.ts';
import { signedArea } from '../picture.ts';
import type { EncodedPicture, PixelPoint } from '../types.ts';
import { CHART_COLUMNS, CHART_PATCHES, CHART_ROWS, type ReferencePatch } from './cgats.ts';
import { LEAST_PATCHES, type ChartPatch } from './fit-chart.ts';
import { homography } from './homography.ts';
import { PATCH_FAULTS, seenPatch, type SeenPatch } from './patch.ts';

/** Share of a patch's side that is sampled, round its middle. */
const SAMPLED = 0.4;
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

interface Seen extends SeenPatch {
  readonly at: { readonly x: number; readonly y: number };
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
    f ? [`Patch ${reference[i]!.name} is left out: it is ${PATCH_FAULTS[f]}.`] : [],
  );
  const patches = best.seen.flatMap((seen, i) =>
    seen.fault ? [] : [{ ...reference[i]!, encoded: seen.encoded, at: seen.at }],
  );
  return { ok: true, patches, warnings: left };
}

function patchesSeen(picture: EncodedPicture, corners: readonly PixelPoint[]): readonly Seen[] {
  const place = bySquare(corners);
  return Array.from({ length: CHART_PATCHES }, (_, i) => {
    const u = ((i % CHART_COLUMNS) + 0.5) / CHART_COLUMNS;
    const v = (Math.floor(i / CHART_COLUMNS) + 0.5) / CHART_ROWS;
    const at = { x: 2 * u - 1, y: 2 * v - 1 };
    return { at, ...seenPatch(picture, placesRound(place, u, v)) };
  });
}

function* placesRound(place: (u: number, v: number) => PixelPoint, u: number, v: number) {
  const steps = 24;
  for (let i = 0; i < steps; i++) {
    for (let j = 0; j < steps; j++) {
      const du = (((i + 0.5) / steps - 0.5) * SAMPLED) / CHART_COLUMNS;
      const dv = (((j + 0.5) / steps - 0.5) * SAMPLED) / CHART_ROWS;
      yield place(u + du, v + dv);
    }
  }
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
