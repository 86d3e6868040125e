/** Amounts as they are typed, in one unit: a field that says another is stopped before it counts. */

export const LENGTH_UNITS = { mm: 1, cm: 10, in: 25.4 } as const;
export type LengthUnit = keyof typeof LENGTH_UNITS;

export type Typed =
  { readonly ok: true; readonly value: number } | { readonly ok: false; readonly message: string };

const UNIT_WORDS: Readonly<Record<string, string>> = {
  mm: 'mm',
  cm: 'cm',
  in: 'in',
  '"': 'in',
  inch: 'in',
  inches: 'in',
  g: 'g',
  gram: 'g',
  grams: 'g',
  ml: 'ml',
  drop: 'drops',
  drops: 'drops',
  '%': '%',
  µm: 'µm',
  um: 'µm',
  bar: 'bar',
  min: 'min',
};

/** A number in `unit` ('' for a bare one), either decimal sign; a unit written after it must be the same. */
export function typedIn(unit: string, text: string): Typed {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  if (plain === '') return { ok: false, message: 'give a number' };
  const [, number = '', word = ''] = /^([-+]?[\d.]+)\s*(.*)$/.exec(plain) ?? [];
  const value = number === '' ? Number.NaN : Number(number);
  if (!Number.isFinite(value)) return { ok: false, message: `“${text.trim()}” is no number` };
  const written = word === '' ? unit : UNIT_WORDS[word.toLowerCase()];
  if (written === undefined) return { ok: false, message: `“${word}” is no unit known here` };
  if (written !== unit) {
    const wanted = unit === '' ? 'takes no unit' : `is in ${unit}`;
    return { ok: false, message: `this field ${wanted}, but “${text.trim()}” is in ${written}` };
  }
  return { ok: true, value };
}
