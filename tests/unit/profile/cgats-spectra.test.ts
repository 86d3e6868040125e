/** Reflectance in a CGATS text. Expected values: L* = 116 Y^(1/3) − 16 (ISO/CIE 11664-4) of even greys. */
import { expect, it, test } from 'vitest';
import { parseCgats } from '../../../src/reading/profile/cgats.ts';

const range = (from: number, to: number) =>
  Array.from({ length: (to - from) / 10 + 1 }, (_, i) => from + 10 * i);

function text(fields: readonly string[], rows: readonly (readonly (number | string)[])[]): string {
  const data = rows.map((row, i) => `${String(i + 1)} ${row.join(' ')}`).join('\n');
  return `CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID ${fields.join(' ')}\nEND_DATA_FORMAT\nBEGIN_DATA\n${data}\nEND_DATA\n`;
}
function parsed(from: string) {
  const result = parseCgats(from);
  if (!result.ok) throw new Error(result.message);
  return result.patches.map(({ lab }) => lab);
}
const message = (from: string) => {
  const result = parseCgats(from);
  return result.ok ? '' : result.message;
};
const even = (value: number, bands = 36) => Array.from({ length: bands }, () => value);
const NAMES = range(380, 730).map((nm) => `SPECTRAL_NM${String(nm)}`);

it.each(['SPECTRAL_NM', 'SPECTRAL_', 'NM_', 'nm', 'SPEC_'])('%s380 …: even greys', (prefix) => {
  const fields = range(380, 730).map((nm) => `${prefix}${String(nm)}`);
  const labs = parsed(text(fields, [even(1), even(0.2), even(0.05)]));
  [1, 0.2, 0.05].forEach((Y, i) => {
    expect(labs[i]![0]).toBeCloseTo(116 * Math.cbrt(Y) - 16, 6);
    expect(Math.hypot(labs[i]![1], labs[i]![2])).toBeLessThan(1e-6);
  });
});

test('per cent, descending order and 400–700 nm give the same colours', () => {
  const sloped = (nm: number) => 0.1 + (0.8 * Math.min(300, Math.max(0, nm - 400))) / 300;
  const bands = range(380, 730);
  const whole = parsed(text(NAMES, [bands.map(sloped), even(0.9)]));
  const percent = parsed(text(NAMES, [bands.map((nm) => 100 * sloped(nm)), even(90)]));
  const down = parsed(text(NAMES.toReversed(), [bands.map(sloped).toReversed(), even(0.9)]));
  const short = parsed(text(NAMES.slice(2, 33), [range(400, 700).map(sloped), even(0.9, 31)]));
  for (const other of [percent, down, short]) {
    other.forEach((lab, i) => {
      lab.forEach((v, k) => {
        expect(v).toBeCloseTo(whole[i]![k]!, 6);
      });
    });
  }
  // What reflects more and more towards the red is redder and yellower than grey: common practice, no source.
  expect(whole[0]![1]).toBeGreaterThan(0);
  expect(whole[0]![2]).toBeGreaterThan(0);
});

test('faults are named', () => {
  const without = NAMES.filter((name) => !name.endsWith('550'));
  expect(message(text(without, [even(0.5, 35)]))).toBe('The reflectance at 550 nm is missing.');
  expect(message(text(NAMES, [even(0.5), ['none', ...even(0.5, 35)]]))).toMatch(/^Patch 2 has no/);
  expect(message(text(NAMES, [even(-0.2)]))).toMatch(/^Patch 1 reflects less than nothing/);
  expect(message(text(NAMES, [even(130)]))).toMatch(/^Patch 1 reflects .* more than all/);
});
