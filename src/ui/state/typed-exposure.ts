/** Exposures as they are written on cameras, read from fields and put into them. */
import type { PhotoExposure } from '../../photo/exposure.ts';
import { formatNumber } from '../elements/numbers.ts';
import { typedNumber } from '../elements/typed-number.ts';

/** Seconds of “1/60”, “0,02”, “2 s”; NaN when it is none. */
export function typedTime(text: string): number {
  const [over = '', under, ...more] = text.replace(/\s*(?:s|″|")\s*$/i, '').split('/');
  if (more.length > 0) return NaN;
  return under === undefined ? typedNumber(over) : typedNumber(over) / typedNumber(under);
}

/** Of “5.6” or “f/5.6”. */
export const typedAperture = (text: string): number =>
  typedNumber(text.replace(/^\s*f\s*\/?/i, ''));

/** Of “200” or “ISO 200”. */
export const typedIso = (text: string): number => typedNumber(text.replace(/^\s*iso/i, ''));

/** The fields of a photograph: empty where it does not say. */
export function exposureFields(said: PhotoExposure | undefined): {
  readonly typed: string;
  readonly fNumber: string;
  readonly iso: string;
} {
  const { timeS, fNumber, iso } = said ?? {};
  return {
    typed: timeS === undefined ? '' : timeInWords(timeS),
    fNumber: fNumber === undefined ? '' : written(fNumber),
    iso: iso === undefined ? '' : written(iso),
  };
}

/** “1/60” where it is one over a whole number, within a five-hundredth. */
function timeInWords(timeS: number): string {
  const under = Math.round(1 / timeS);
  const isPart = under > 1 && Math.abs(under * timeS - 1) < 0.002;
  return isPart && timeS < 0.3 ? `1/${String(under)}` : written(timeS);
}

/** Four figures at most. */
function written(value: number): string {
  const [, places = ''] = String(Number(value.toPrecision(4))).split('.');
  return formatNumber(value, places.length);
}
