/** Reflectance in a CGATS.17 text → colours: it says more than any Lab stated for one white. */
import { WAVELENGTHS_NM, reflectance, type Reflectance } from '../../colour/grid.ts';
import { D50 } from '../../colour/illuminants.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import { labD65FromReflectance } from '../../colour/spectra.ts';
import { LEAST_VALUES, spragueAt } from '../../colour/sprague.ts';

/** SPECTRAL_NM380, SPECTRAL_NM_380, SPECTRAL_380, NM_380, nm380, SPEC_380: the wavelength in the name. */
const NAMED = /^(?:SPECTRAL_NM_?|SPECTRAL_|NM_?|SPEC_?)(\d{3})$/i;
/** Or a pair of columns for each band, the wavelength in the first (CGATS.5-1993, annex J; CGATS.17). */
const PAIR_WAVELENGTH = 'SPECTRAL_NM';
const PAIR_VALUES = new Map<string, 'percent' | 'fraction' | undefined>([
  ['SPECTRAL_PCT', 'percent'],
  ['SPECTRAL_DEC', 'fraction'],
  ['SPECTRAL_VALUE', undefined],
]);

/** Wavelengths that must be spanned; outside them reflectance stays as at the last (CIE 15:2004, 7.2). nm. */
const [FROM, TO] = [400, 700];
/** Steps that may be interpolated; ASTM E308 goes no further. nm. */
const WIDEST_STEP = 20;
/** Names are rounded to whole nanometres. */
const ROUNDED = 0.51;
/** A fraction is never above this, whatever the chart; a chart in per cent has a patch that is. */
const LARGEST_FRACTION = 1.2;

export interface SpectralFields {
  /** The column of each band's value; its wavelength, nm, or the column that says it. */
  readonly bands: readonly {
    readonly at: number;
    readonly nm: number | { readonly at: number };
  }[];
  /** What the values are; absent: as they look. */
  readonly unit?: 'percent' | 'fraction';
}

/** The columns in which reflectance stands, in any order; undefined: none. */
export function spectralFields(fields: readonly string[]): SpectralFields | undefined {
  const named = fields.flatMap((field, at) => {
    const nm = NAMED.exec(field)?.[1];
    return nm === undefined ? [] : [{ at, nm: Number(nm) }];
  });
  if (named.length > 0) return { bands: named };
  const paired = fields.flatMap((field, at) => {
    const before = fields[at - 1]?.toUpperCase();
    return PAIR_VALUES.has(field.toUpperCase()) && before === PAIR_WAVELENGTH
      ? [{ at, nm: { at: at - 1 } }]
      : [];
  });
  if (paired.length === 0) return undefined;
  const unit = PAIR_VALUES.get(fields[paired[0]!.at]!.toUpperCase());
  return { bands: paired, ...(unit && { unit }) };
}

/** Wavelengths of the bands in one line of the file, nm. */
export const wavelengthsIn = ({ bands }: SpectralFields, values: readonly string[]): number[] =>
  bands.map(({ nm }) => (typeof nm === 'number' ? nm : Number(values[nm.at])));

export type OnGrid =
  | { readonly ok: true; readonly of: (values: readonly number[]) => number[] }
  /** One line that says what is missing. */
  | { readonly ok: false; readonly message: string };

/**
 * How values at these wavelengths come to the bands of the paint grid: as they stand where the band is
 * there, else by Sprague's interpolation of even steps; at both ends the last value stays.
 * @param wavelengths nm, in any order; 400–700 spanned, in even steps of 20 at most
 */
export function ontoPaintGrid(wavelengths: readonly number[]): OnGrid {
  const fault = (message: string): OnGrid => ({ ok: false, message });
  const missing = (nm: number) => fault(`The reflectance at ${String(nm)} nm is missing.`);
  const bad = wavelengths.find((nm) => !(nm > 0));
  if (bad !== undefined) return fault('A wavelength is no number.');
  const order = wavelengths.map((nm, i) => ({ nm, i })).sort((p, q) => p.nm - q.nm);
  const sorted = order.map(({ nm }) => nm);
  const twice = sorted.find((nm, i) => nm === sorted[i - 1]);
  if (twice !== undefined) return fault(`The reflectance at ${String(twice)} nm stands twice.`);
  const [first, last] = [sorted[0] ?? Infinity, sorted[sorted.length - 1] ?? -Infinity];
  if (first > FROM) return missing(FROM);
  if (last < TO) return missing(TO);
  const wanted = WAVELENGTHS_NM.map((nm) => Math.min(last, Math.max(first, nm)));
  const places = wanted.map((nm) => sorted.indexOf(nm));
  if (!places.includes(-1))
    return { ok: true, of: (values) => places.map((at) => values[order[at]!.i]!) };
  const steps = sorted.slice(1).map((nm, i) => nm - sorted[i]!);
  const usual = [...steps].sort((p, q) => p - q)[Math.floor(steps.length / 2)]!;
  const gap = steps.findIndex((step) => step > usual + 2 * ROUNDED);
  if (gap >= 0) return missing(sorted[gap]! + usual);
  const step = (last - first) / steps.length;
  if (step > WIDEST_STEP + ROUNDED || sorted.length < LEAST_VALUES) {
    return fault(
      `Reflectance stands each ${String(Math.round(step))} nm; steps of ${String(WIDEST_STEP)} nm at most can be used.`,
    );
  }
  if (sorted.some((nm, i) => Math.abs(nm - first - i * step) > ROUNDED)) {
    return fault('The wavelengths do not rise by even steps.');
  }
  return {
    ok: true,
    of: (values) => {
      const rising = order.map(({ i }) => values[i]!);
      return wanted.map((nm) => spragueAt(rising, (nm - first) / step));
    },
  };
}

/** Are the chart's reflectances per cent? */
export const isPercent = (patches: readonly (readonly number[])[]): boolean =>
  patches.some((bands) => bands.some((v) => v > LARGEST_FRACTION));

/**
 * Reflectance from the bands of the paint grid, fractions or per cent; up to 2 % outside 0–1 is an
 * instrument's own error and is brought to the limit. Undefined: no reflectance.
 */
export function reflectanceOfBands(
  bands: readonly number[],
  percent: boolean,
): Reflectance | undefined {
  const fractions = bands.map((v) => (percent ? v / 100 : v));
  if (fractions.some((v) => !(v >= -0.02 && v <= 1.02))) return undefined;
  return reflectance(fractions.map((v) => Math.min(1, Math.max(0, v))));
}

/**
 * CIELAB D65/2° of a patch as it is under D50 (Bradford). Not under the lamp, though its kind and temperature may
 * be known: a likely lamp of its kind misleads more than D50 and the transform's prior do (fit-transform.ts).
 */
export function labOfBands(bands: readonly number[], percent: boolean): LabD65 | undefined {
  const surface = reflectanceOfBands(bands, percent);
  return surface && labD65FromReflectance(surface, D50);
}
