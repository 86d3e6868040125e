/** Reference values of a chart as CGATS.17 text: one line a patch, its colour as reflectance, Lab or XYZ. */
import { adaptToD65 } from '../../colour/adaptation.ts';
import { labFromXyzD65 } from '../../colour/cielab.ts';
import { xyz, type LabD65, type Xyz } from '../../colour/spaces.ts';
import { isPercent, labOfBands, spectralColumns } from './cgats-spectra.ts';
import type { StatedFor } from './profile.ts';

/** Rows and columns of the chart; its reference lists the patches row by row. */
export const CHART_ROWS = 4;
export const CHART_COLUMNS = 6;
export const CHART_PATCHES = CHART_ROWS * CHART_COLUMNS;

export interface ReferencePatch {
  readonly name: string;
  readonly lab: LabD65;
  /** The white its values are stated for; absent: D50. */
  readonly statedFor?: StatedFor;
}

export type CgatsResult =
  | { readonly ok: true; readonly patches: readonly ReferencePatch[] }
  /** One line that says what is missing. */
  | { readonly ok: false; readonly message: string };

/** ICC profile connection space D50 (ICC.1:2022, 7.2.16): what charts are measured for unless they say else. */
const D50_WHITE = xyz(0.9642, 1, 0.8249);

/**
 * @param text a CGATS.17 file (also as `IT8.7/2`): fields SAMPLE_ID or SAMPLE_NAME, and LAB_L, LAB_A,
 *   LAB_B or XYZ_X, XYZ_Y, XYZ_Z (0–100), values for D50/2°; or reflectance, which goes first when whole
 * @returns the patches in the file's order, their colours under D65 (Bradford)
 */
export function parseCgats(text: string): CgatsResult {
  const fault = (message: string): CgatsResult => ({ ok: false, message });
  const between = (name: string): string | undefined =>
    new RegExp(`BEGIN_${name}\\s+([\\s\\S]*?)\\s+END_${name}(?:\\s|$)`).exec(text)?.[1];
  const format = between('DATA_FORMAT');
  if (format === undefined) return fault('This is no CGATS file: BEGIN_DATA_FORMAT is missing.');
  const data = between('DATA');
  if (data === undefined) return fault('The file is cut short: BEGIN_DATA or END_DATA is missing.');
  const fields = format.split(/\s+/);
  const at = (name: string) => fields.indexOf(name);
  const id = Math.max(at('SAMPLE_NAME'), at('SAMPLE_ID'), at('SAMPLE_LOC'));
  if (id < 0) return fault('The field SAMPLE_ID or SAMPLE_NAME is missing.');
  const lab = ['LAB_L', 'LAB_A', 'LAB_B'].map(at);
  const xyzAt = ['XYZ_X', 'XYZ_Y', 'XYZ_Z'].map(at);
  const hasLab = lab.every((i) => i >= 0);
  const spectral = spectralColumns(fields);
  const bands = spectral && 'columns' in spectral ? spectral.columns : undefined;
  if (spectral && !bands && !hasLab && !xyzAt.every((i) => i >= 0)) {
    return fault(
      `The reflectance at ${String('missingNm' in spectral && spectral.missingNm)} nm is missing.`,
    );
  }
  if (!bands && !hasLab && !xyzAt.every((i) => i >= 0)) {
    const missing = ['LAB_L', 'LAB_A', 'LAB_B'].filter((name) => at(name) < 0);
    return fault(`The field ${missing[0]!} is missing, and there are no XYZ values either.`);
  }
  const patches: ReferencePatch[] = [];
  const lines = data.split(/\r?\n/).filter((row) => row.trim() !== '');
  const rows = lines.map((line) => line.match(/"[^"]*"|\S+/g) ?? []);
  const columns = bands ?? (hasLab ? lab : xyzAt);
  const numbersOf = (values: readonly string[]) => columns.map((i) => Number(values[i]));
  const percent = bands !== undefined && isPercent(rows.map(numbersOf));
  for (const values of rows) {
    const name = (values[id] ?? '').replaceAll('"', '');
    const numbers = numbersOf(values);
    if (values.length < fields.length || !numbers.every(Number.isFinite)) {
      return fault(`Patch ${name || String(patches.length + 1)} has no complete colour.`);
    }
    if (bands) {
      const seen = labOfBands(numbers, percent);
      if (!seen) return fault(`Patch ${name} reflects less than nothing or more than all.`);
      patches.push({ name, lab: seen });
      continue;
    }
    const [p, q, r] = numbers as [number, number, number];
    const colour = hasLab ? labD65FromLabD50(p, q, r) : d65FromD50(xyz(p / 100, q / 100, r / 100));
    patches.push({ name, lab: colour });
  }
  const stated = /NUMBER_OF_SETS\s+(\d+)/.exec(text)?.[1];
  if (stated !== undefined && Number(stated) !== patches.length) {
    return fault(`The file says ${stated} patches and holds ${String(patches.length)}.`);
  }
  return patches.length > 0 ? { ok: true, patches } : fault('The file holds no patches.');
}

const d65FromD50 = (d50: Xyz): LabD65 => labFromXyzD65(adaptToD65(d50, D50_WHITE));

/** CIELAB D50/2° as charts state it → CIELAB D65/2° (Bradford). */
export const labD65FromLabD50 = (L: number, a: number, b: number): LabD65 =>
  d65FromD50(xyzFromLabD50(L, a, b));

/** ISO/CIE 11664-4 inverted for the D50 white above. */
function xyzFromLabD50(L: number, a: number, b: number) {
  const inverse = (t: number) => (t > 6 / 29 ? t ** 3 : 3 * (6 / 29) ** 2 * (t - 4 / 29));
  const fy = (L + 16) / 116;
  return xyz(
    D50_WHITE[0] * inverse(fy + a / 500),
    D50_WHITE[1] * inverse(fy),
    D50_WHITE[2] * inverse(fy - b / 200),
  );
}
