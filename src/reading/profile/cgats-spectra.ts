/** Spectral columns of a CGATS.17 text → colours: reflectance says more than any Lab stated for one white. */
import { WAVELENGTHS_NM, reflectance } from '../../colour/grid.ts';
import { D50 } from '../../colour/illuminants.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import { labD65FromReflectance } from '../../colour/spectra.ts';

/** SPECTRAL_NM380, SPECTRAL_380, NM_380, nm380, SPEC_380. */
const BAND = /^(?:SPECTRAL_NM_?|SPECTRAL_|NM_?|SPEC_?)(\d{3})$/i;
/** Bands that must be there; outside them reflectance stays as at the last (CIE 15:2004, 7.2). nm. */
const [FROM, TO] = [400, 700];
/** A fraction is never above this, whatever the chart; a chart in per cent has a patch that is. */
const LARGEST_FRACTION = 1.2;

export interface SpectralColumns {
  /** Column of every band of the paint grid, in its order. */
  readonly columns: readonly number[];
}

/**
 * The columns in which reflectance stands, in any order; undefined: none. A missing band, 400–700 nm each
 * 10 nm, is told as its wavelength.
 */
export function spectralColumns(
  fields: readonly string[],
): SpectralColumns | { readonly missingNm: number } | undefined {
  const at = new Map<number, number>();
  fields.forEach((field, i) => {
    const nm = BAND.exec(field)?.[1];
    if (nm !== undefined) at.set(Number(nm), i);
  });
  if (at.size === 0) return undefined;
  const missingNm = WAVELENGTHS_NM.find((nm) => nm >= FROM && nm <= TO && !at.has(nm));
  if (missingNm !== undefined) return { missingNm };
  const there = WAVELENGTHS_NM.filter((nm) => at.has(nm));
  const [first, last] = [there[0]!, there[there.length - 1]!];
  return { columns: WAVELENGTHS_NM.map((nm) => at.get(Math.min(last, Math.max(first, nm)))!) };
}

/** Are the chart's reflectances per cent? */
export const isPercent = (patches: readonly (readonly number[])[]): boolean =>
  patches.some((bands) => bands.some((v) => v > LARGEST_FRACTION));

/**
 * CIELAB D65/2° of a patch as it is under D50 (Bradford), from 36 bands, fractions or per cent; up to 2 %
 * outside 0–1 is an instrument's own error and is brought to the limit. Undefined: no reflectance.
 */
export function labOfBands(bands: readonly number[], percent: boolean): LabD65 | undefined {
  const fractions = bands.map((v) => (percent ? v / 100 : v));
  if (fractions.some((v) => !(v >= -0.02 && v <= 1.02))) return undefined;
  return labD65FromReflectance(reflectance(fractions.map((v) => Math.min(1, Math.max(0, v)))), D50);
}
