/** Numbers in sentences: in English with a point, or as the person writes them. */

export interface Writing {
  /** BCP 47 tag of the language that numbers are written in. */
  readonly locale?: string;
  readonly massUnit?: 'g' | 'mg';
}

export interface Written {
  readonly number: (value: number, decimals: number) => string;
  /** A mass of at most `digits` digits that count, with its unit. */
  readonly grams: (grams: number, digits?: number) => string;
  /** A share as per cent. */
  readonly percent: (share: number) => string;
}

/** A tag that is none is written in English: a sentence is never lost for it. */
export function writtenAs({ locale = 'en', massUnit = 'g' }: Writing = {}): Written {
  const format = (value: number, options: Intl.NumberFormatOptions) =>
    formatOf(locale, { useGrouping: false, ...options })
      .format(value)
      .replace('-', '−');
  const number = (value: number, decimals: number) =>
    format(value, { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
  return {
    number,
    grams: (grams, digits = 3) => {
      const inUnit = massUnit === 'mg' ? 1000 * grams : grams;
      return `${format(inUnit, { maximumSignificantDigits: digits })} ${massUnit}`;
    },
    percent: (share) => `${number(100 * share, 0)} %`,
  };
}

/** Kept, by what they were asked for: to make one takes as long as a hundred numbers. */
const formats = new Map<string, Intl.NumberFormat>();

function formatOf(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = `${locale} ${JSON.stringify(options)}`;
  const made = formats.get(key) ?? newFormat(locale, options);
  formats.set(key, made);
  return made;
}

function newFormat(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  try {
    return new Intl.NumberFormat(locale, options);
  } catch {
    return new Intl.NumberFormat('en', options);
  }
}
