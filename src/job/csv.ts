/** Tables for a spreadsheet: RFC 4180, UTF-8, a point for decimals. */

export type Cell = string | number;
/** Columns in order: heading with its unit, and what stands below it. */
export type Columns<Row> = readonly (readonly [heading: string, of: (row: Row) => Cell])[];

export const to = (places: number, value: number): number => Number(value.toFixed(places));

/** "white 2.5; blue 0.03", g by pigment id. */
export function potInWords(pot: Readonly<Record<string, number>>): string {
  return Object.entries(pot)
    .map(([pigment, grams]) => `${pigment} ${to(4, grams)}`)
    .join('; ');
}

/**
 * A text that a spreadsheet would take for a formula gets an apostrophe, which spreadsheets do not
 * show (common practice against formula injection); quotes are doubled as RFC 4180 asks.
 */
function cell(value: Cell): string {
  if (typeof value === 'number') return String(value);
  const harmless = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

/** Begins with a byte order mark, by which spreadsheets know UTF-8. */
export function csvText<Row>(columns: Columns<Row>, rows: readonly Row[]): string {
  const lines = [
    columns.map(([heading]) => cell(heading)),
    ...rows.map((row) => columns.map(([, of]) => cell(of(row)))),
  ];
  return `\ufeff${lines.map((line) => `${line.join(',')}\r\n`).join('')}`;
}
