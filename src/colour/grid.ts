/**
 * The two wavelength grids, each a type of its own so that a spectrum on one cannot be summed
 * against the other. Bands are centred on the wavelengths given.
 */
declare const grid: unique symbol;

/** First wavelength of both grids, nm. */
const START_NM = 380;

/** Number of bands of the paint grid. */
export const BANDS = 36;
/** The one grid paint is reckoned on: 380–730 nm at 10 nm, 36 bands. */
export const WAVELENGTHS_NM: readonly number[] = Array.from(
  { length: BANDS },
  (_, band) => START_NM + 10 * band,
);

/** Number of bands of the grid of the published tables. */
export const TABLE_BANDS = 81;
/** The grid of the CIE tables: 380–780 nm at 5 nm, 81 bands. */
export const TABLE_WAVELENGTHS_NM: readonly number[] = Array.from(
  { length: TABLE_BANDS },
  (_, band) => START_NM + 5 * band,
);

/** Reflectance factor of an opaque film or surface on the paint grid: 36 numbers in 0–1. */
export type Reflectance = Float64Array & { readonly [grid]: 'paint-reflectance' };
/** Any quantity on the grid of the tables: 81 finite numbers, units as the owner says. */
export type TableSpectrum = Float64Array & { readonly [grid]: 'table' };

/**
 * A copy of `values` as reflectance factors, 1 being the perfect reflecting diffuser.
 * Throws a RangeError unless there are 36 numbers, each in 0–1.
 */
export function reflectance(values: ArrayLike<number>): Reflectance {
  const copy = checked(values, BANDS, WAVELENGTHS_NM, 'reflectance');
  copy.forEach((value, band) => {
    if (value < 0 || value > 1) {
      throw new RangeError(`reflectance at ${WAVELENGTHS_NM[band]!} nm is ${value}, outside 0–1`);
    }
  });
  return copy as Reflectance;
}

/** A copy of `values` on the table grid. Throws a RangeError unless there are 81 finite numbers. */
export function tableSpectrum(values: ArrayLike<number>): TableSpectrum {
  return checked(values, TABLE_BANDS, TABLE_WAVELENGTHS_NM, 'table spectrum') as TableSpectrum;
}

function checked(
  values: ArrayLike<number>,
  bands: number,
  wavelengths: readonly number[],
  what: string,
): Float64Array {
  if (values.length !== bands) {
    throw new RangeError(
      `a ${what} has ${bands} values, ${wavelengths[0]!}–${wavelengths.at(-1)!} nm, not ${values.length}`,
    );
  }
  const copy = Float64Array.from(values);
  copy.forEach((value, band) => {
    if (!Number.isFinite(value)) {
      throw new RangeError(`${what} at ${wavelengths[band]!} nm is not a finite number`);
    }
  });
  return copy;
}
