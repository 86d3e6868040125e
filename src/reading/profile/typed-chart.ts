/** Reference values of a chart as they are typed or pasted: 24 patches, row by row, L*, a*, b*. */
import { labD65 } from '../../colour/spaces.ts';
import { CHART_PATCHES, labD65FromLabD50, type CgatsResult } from './cgats.ts';

/** One patch as typed: L*, a*, b*. */
export type TypedPatch = readonly [L: string, a: string, b: string];
export const CHART_WHITES = ['D50', 'D65'] as const;
/** What the values are stated for, 2° observer; charts say D50 unless they say else. */
export type ChartWhite = (typeof CHART_WHITES)[number];

const FIELDS = [
  { name: 'L*', low: 0, high: 100 },
  { name: 'a*', low: -150, high: 150 },
  { name: 'b*', low: -150, high: 150 },
] as const;

export const EMPTY_PATCHES: readonly TypedPatch[] = Array.from(
  { length: CHART_PATCHES },
  () => ['', '', ''] as const,
);

/** Either decimal sign, either minus; NaN when it is none, or nothing. */
function number(text: string): number {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  return plain === '' ? NaN : Number(plain);
}

/** @returns the patches under D65, or one line that names the patch and what is wrong with it */
export function typedChart(rows: readonly TypedPatch[], white: ChartWhite): CgatsResult {
  const fault = (message: string): CgatsResult => ({ ok: false, message });
  const values: (readonly [number, number, number])[] = [];
  for (const [i, row] of rows.entries()) {
    const patch = `Patch ${String(i + 1)}`;
    for (const [k, { name, low, high }] of FIELDS.entries()) {
      const text = row[k]!.trim();
      const value = number(text);
      if (text === '') return fault(`${patch}: ${name} is missing.`);
      if (!Number.isFinite(value)) return fault(`${patch}: ${name} “${text}” is no number.`);
      if (value < low || value > high) {
        return fault(
          `${patch}: ${name} ${text} is out of range, ${String(low)} to ${String(high)}.`,
        );
      }
    }
    values.push([number(row[0]), number(row[1]), number(row[2])]);
  }
  if (values.length !== CHART_PATCHES) {
    return fault(
      `${String(values.length)} patches are given; ${String(CHART_PATCHES)} are needed.`,
    );
  }
  for (const [i, [L, a, b]] of values.entries()) {
    const twin = values.findIndex(
      ([p, q, r], j) => j < i && Math.hypot(L - p, a - q, b - r) < 0.005,
    );
    if (twin >= 0) {
      return fault(
        `Patches ${String(twin + 1)} and ${String(i + 1)} have the same colour: was one typed twice?`,
      );
    }
  }
  const patches = values.map(([L, a, b], i) => ({
    name: String(i + 1),
    lab: white === 'D50' ? labD65FromLabD50(L, a, b) : labD65(L, a, b),
    ...(white === 'D50' ? {} : { statedFor: white }),
  }));
  return { ok: true, patches };
}

/**
 * Lines of pasted text into the table from a patch on: of each line the last three numbers, so that names
 * before them do no harm; lines without three numbers are passed over.
 */
export function pasted(
  rows: readonly TypedPatch[],
  from: number,
  text: string,
): readonly TypedPatch[] {
  const next = [...rows];
  let at = from;
  for (const line of text.split(/\r?\n/)) {
    // Tabs and semicolons part; a comma does where a point is the decimal sign.
    const parts = line
      .split(/[\t;]|\s+|,(?=\s)|,(?=[^,]*\.)/)
      .map((part) => part.trim())
      .filter((part) => Number.isFinite(number(part)));
    if (parts.length < 3 || at >= next.length) continue;
    next[at++] = parts.slice(-3) as unknown as TypedPatch;
  }
  return next;
}

/** The same values as CGATS text, to be kept and imported another time. */
export function cgatsText(rows: readonly TypedPatch[]): string {
  const lines = rows.map(
    (row, i) => `${String(i + 1)}\t${row.map((v) => String(number(v))).join('\t')}`,
  );
  return [
    'CGATS.17',
    '',
    'NUMBER_OF_FIELDS 4',
    'BEGIN_DATA_FORMAT',
    'SAMPLE_ID\tLAB_L\tLAB_A\tLAB_B',
    'END_DATA_FORMAT',
    '',
    `NUMBER_OF_SETS ${String(rows.length)}`,
    'BEGIN_DATA',
    ...lines,
    'END_DATA',
    '',
  ].join('\n');
}
