/** Reference values of a chart as CGATS.17 text: one line a patch, its colour as reflectance, Lab or XYZ. */
import { adaptToD65 } from '../../colour/adaptation.ts';
import { labFromXyzD65 } from '../../colour/cielab.ts';
import { xyz, type LabD65, type Xyz } from '../../colour/spaces.ts';
import {
  isPercent,
  labOfBands,
  ontoPaintGrid,
  spectralFields,
  wavelengthsIn,
  type SpectralFields,
} from './cgats-spectra.ts';
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
  const lines = data.split(/\r?\n/).filter((row) => row.trim() !== '');
  const rows = lines.map((line) => {
    const values = line.match(/"[^"]*"|\S+/g) ?? [];
    return { name: (values[id] ?? '').replaceAll('"', ''), values };
  });
  const short = rows.findIndex(({ values }) => values.length < fields.length);
  if (short >= 0) return fault(noColour(rows[short]!.name, short));
  const lab = ['LAB_L', 'LAB_A', 'LAB_B'].map(at);
  const xyzAt = ['XYZ_X', 'XYZ_Y', 'XYZ_Z'].map(at);
  const stated = [lab, xyzAt].find((columns) => columns.every((i) => i >= 0));
  const spectral = spectralFields(fields);
  let told: Told | undefined = spectral && fromSpectra(rows, spectral);
  // A reflectance that is there and makes no sense is a fault, whatever stands beside it.
  if (stated && (!told || 'unusable' in told)) told = fromColours(rows, stated, stated === lab);
  if (!told) {
    const missing = ['LAB_L', 'LAB_A', 'LAB_B'].filter((name) => at(name) < 0);
    return fault(`The field ${missing[0]!} is missing, and there are no XYZ values either.`);
  }
  if (!('patches' in told)) return fault('fault' in told ? told.fault : told.unusable);
  const { patches } = told;
  const sets = /NUMBER_OF_SETS\s+(\d+)/.exec(text)?.[1];
  if (sets !== undefined && Number(sets) !== patches.length) {
    return fault(`The file says ${sets} patches and holds ${String(patches.length)}.`);
  }
  return patches.length > 0 ? { ok: true, patches } : fault('The file holds no patches.');
}

interface Row {
  readonly name: string;
  readonly values: readonly string[];
}
type Told =
  | { readonly patches: readonly ReferencePatch[] }
  /** What is wrong with a patch. */
  | { readonly fault: string }
  /** Why these columns tell no colour. */
  | { readonly unusable: string };

const noColour = (name: string, i: number): string =>
  `Patch ${name || String(i + 1)} has no complete colour.`;

function fromSpectra(rows: readonly Row[], spectral: SpectralFields): Told {
  const found: { name: string; bands: readonly number[] }[] = [];
  for (const [i, { name, values }] of rows.entries()) {
    const grid = ontoPaintGrid(wavelengthsIn(spectral, values));
    if (!grid.ok) return { unusable: grid.message };
    const bands = grid.of(spectral.bands.map(({ at }) => Number(values[at])));
    if (!bands.every(Number.isFinite)) return { fault: noColour(name, i) };
    found.push({ name, bands });
  }
  const percent = spectral.unit
    ? spectral.unit === 'percent'
    : isPercent(found.map(({ bands }) => bands));
  const patches: ReferencePatch[] = [];
  for (const { name, bands } of found) {
    const lab = labOfBands(bands, percent);
    if (!lab) return { fault: `Patch ${name} reflects less than nothing or more than all.` };
    patches.push({ name, lab });
  }
  return { patches };
}

function fromColours(rows: readonly Row[], columns: readonly number[], areLab: boolean): Told {
  const patches: ReferencePatch[] = [];
  for (const [i, { name, values }] of rows.entries()) {
    const numbers = columns.map((at) => Number(values[at]));
    if (!numbers.every(Number.isFinite)) return { fault: noColour(name, i) };
    const [p, q, r] = numbers as [number, number, number];
    const lab = areLab ? labD65FromLabD50(p, q, r) : d65FromD50(xyz(p / 100, q / 100, r / 100));
    patches.push({ name, lab });
  }
  return { patches };
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
