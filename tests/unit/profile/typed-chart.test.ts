/** A chart's values as they are typed or pasted; each slip is named by its patch. */
import { describe, expect, it, test } from 'vitest';
import { parseCgats } from '../../../src/reading/profile/cgats.ts';
import {
  cgatsText,
  EMPTY_PATCHES,
  pasted,
  typedChart,
  type TypedPatch,
} from '../../../src/reading/profile/typed-chart.ts';

const ROWS: readonly TypedPatch[] = Array.from({ length: 24 }, (_, i) => [
  String(20 + 3 * i),
  String(10 - i),
  String(i - 5),
]);
const withPatch = (i: number, row: TypedPatch) => ROWS.map((one, j) => (i === j ? row : one));

it('gives 24 patches; under D65 as they stand', () => {
  const typed = typedChart(ROWS, 'D65');
  if (!typed.ok) throw new Error(typed.message);
  expect(typed.patches).toHaveLength(24);
  expect([...typed.patches[2]!.lab]).toEqual([26, 8, -3]);
  expect(typed.patches.every(({ statedFor }) => statedFor === 'D65')).toBe(true);
});

it('the same values as CGATS text are the same reference', () => {
  const text = parseCgats(cgatsText(ROWS));
  expect(text).toEqual(typedChart(ROWS, 'D50'));
});

it('takes either decimal sign and either minus', () => {
  const typed = typedChart(withPatch(0, ['38,5', '−13,25', '14.5']), 'D65');
  if (!typed.ok) throw new Error(typed.message);
  expect([...typed.patches[0]!.lab]).toEqual([38.5, -13.25, 14.5]);
});

test.each([
  [withPatch(4, ['50', '', '3']), 'Patch 5: a* is missing.'],
  [withPatch(6, ['50', '2', 'x3']), 'Patch 7: b* “x3” is no number.'],
  [withPatch(23, ['120', '2', '3']), 'Patch 24: L* 120 is out of range, 0 to 100.'],
  [withPatch(9, ['50', '-151', '3']), 'Patch 10: a* -151 is out of range, -150 to 150.'],
  [withPatch(9, ROWS[3]!), 'Patches 4 and 10 have the same colour: was one typed twice?'],
  [ROWS.slice(1), '23 patches are given; 24 are needed.'],
  [EMPTY_PATCHES, 'Patch 1: L* is missing.'],
] as const)('says which patch is at fault, and how: %#', (rows, message) => {
  expect(typedChart(rows, 'D50')).toEqual({ ok: false, message });
});

describe('pasted lines', () => {
  test.each([
    ['A1\t37.99\t13.56\t14.06\nA2\t65.71\t18.13\t17.81', 'tabs, with names'],
    ['37.99 13.56 14.06\n\n65.71 18.13 17.81', 'spaces'],
    ['37.99, 13.56, 14.06\r\n65.71, 18.13, 17.81\r\n', 'commas and spaces'],
    ['37.99,13.56,14.06\n65.71,18.13,17.81', 'commas'],
    ['Patch;L;a;b\n1;37.99;13.56;14.06\n2;65.71;18.13;17.81', 'semicolons, with a head'],
  ])('%j fill the table from a patch on', (text) => {
    const rows = pasted(ROWS, 5, text);
    expect(rows[5]).toEqual(['37.99', '13.56', '14.06']);
    expect(rows[6]).toEqual(['65.71', '18.13', '17.81']);
    expect(rows[7]).toBe(ROWS[7]);
    expect(rows).toHaveLength(24);
  });
  test('with a decimal comma', () => {
    expect(pasted(ROWS, 0, '37,99;-13,56;14,06')[0]).toEqual(['37,99', '-13,56', '14,06']);
    expect(pasted(ROWS, 0, '37,99\t-13,56\t14,06')[0]).toEqual(['37,99', '-13,56', '14,06']);
  });
  test('no more than there are patches; a lone number changes nothing', () => {
    const many = Array.from({ length: 30 }, () => '1 2 3').join('\n');
    expect(pasted(ROWS, 20, many)).toHaveLength(24);
    expect(pasted(ROWS, 3, '12.5')).toEqual(ROWS);
  });
});
