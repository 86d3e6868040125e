/**
 * How numbers, masses and dates are written on the screen, all of them here: in the language the
 * person chose, else the browser's; with a true minus, and as many places as a bench can use.
 */
import type { LabD65 } from '../../colour/spaces.ts';
import type { Settings } from '../../job/settings.ts';

let language: string | undefined;
let massUnit: Settings['massUnit'] = 'g';
const formats = new Map<number, Intl.NumberFormat>();

/** From now on; what is on the screen already is drawn anew with its next change. */
export function writeNumbersBy(settings: Pick<Settings, 'numberLocale' | 'massUnit'>): void {
  language = isKnown(settings.numberLocale) ? settings.numberLocale : undefined;
  massUnit = settings.massUnit;
  formats.clear();
}

/** The same for sentences that are written elsewhere: the language in use, and the unit of a mass. */
export function writingInUse(): { readonly locale: string; readonly massUnit: 'g' | 'mg' } {
  return {
    locale: new Intl.NumberFormat(language).resolvedOptions().locale,
    massUnit: massUnit === 'mg' ? 'mg' : 'g',
  };
}

function isKnown(locale: string | undefined): locale is string {
  return locale !== undefined && Intl.NumberFormat.supportedLocalesOf(locale).length > 0;
}

function formatOf(decimals: number): Intl.NumberFormat {
  const known = formats.get(decimals);
  if (known) return known;
  const format = new Intl.NumberFormat(language, {
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
    useGrouping: false,
    // "−0.0" says nothing.
    signDisplay: 'negative',
  });
  formats.set(decimals, format);
  return format;
}

export function formatNumber(value: number, decimals: number): string {
  return formatOf(decimals).format(value).replace('-', '−');
}

/** L*, a* and b* of a colour, or of what lies between two. */
export function formatLab(labD65: readonly [number, number, number]): string {
  return labD65.map((value) => formatNumber(value, 1)).join(' ');
}

/** The same with their names, none parted from its number. */
export function formatNamedLab(labD65: LabD65): string {
  return labD65.map((value, i) => `${'Lab'[i]}*\u00a0${formatNumber(value, 1)}`).join(' ');
}

/** A number as it was given, for a field: no more places than it has, four at most. */
export function formatExact(value: number): string {
  const [, places = ''] = String(Number(value.toFixed(4))).split('.');
  return formatNumber(value, places.length);
}

/**
 * Grams to the step a bench balance shows: 0.01 g, or 0.001 g where 0.01 would hide the dose; in
 * milligrams when the person chose them.
 */
export function formatGrams(grams: number): string {
  if (massUnit === 'mg') return `${formatNumber(grams * 1000, 0)} mg`;
  const decimals = grams !== 0 && Math.abs(grams) < 0.1 ? 3 : 2;
  return `${formatNumber(grams, decimals)} g`;
}

/** The sign never begins a line of its own. */
export function formatPercent(share: number): string {
  const percent = share * 100;
  return `${percent > 0 && percent < 1 ? 'under 1' : formatNumber(percent, 0)}\u00a0%`;
}

export function formatTime(iso: string): string {
  return new Date(iso).toLocaleString(language, { dateStyle: 'medium', timeStyle: 'short' });
}

/** The day alone, of a date or a moment. */
export function formatDay(iso: string): string {
  return new Date(iso).toLocaleDateString(language, { dateStyle: 'medium' });
}
