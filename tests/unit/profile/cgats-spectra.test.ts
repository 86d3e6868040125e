/** Reflectance in a CGATS text. Expected values: L* = 116 Y^(1/3) − 16 (ISO/CIE 11664-4) of even greys. */
import { expect, it, test } from 'vitest';
import { parseCgats } from '../../../src/reading/profile/cgats.ts';

const range = (from: number, to: number, step = 10) =>
  Array.from({ length: (to - from) / step + 1 }, (_, i) => from + step * i);

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

/** As smooth as paint: a step of 60 nm from a tenth to eight tenths. */
const smooth = (nm: number) => 0.1 + 0.7 / (1 + Math.exp((560 - nm) / 15));
const named = (bands: readonly number[]) => bands.map((nm) => `SPECTRAL_NM${String(nm)}`);
const furthest = (some: readonly (readonly number[])[], others: readonly (readonly number[])[]) =>
  Math.max(...some.flatMap((lab, i) => lab.map((v, k) => Math.abs(v - others[i]![k]!))));

test('other ranges and steps give the same colour', () => {
  const whole = parsed(text(NAMES, [range(380, 730).map(smooth)]));
  for (const [from, to, step, within] of [
    [380, 780, 10, 1e-9],
    [360, 830, 5, 1e-9],
    [380, 780, 5, 1e-9],
    [380, 740, 20, 0.1],
    [400, 700, 20, 0.1],
    [395, 735, 10, 0.02],
    [400, 700, 15, 0.05],
  ] as const) {
    const bands = range(from, to, step);
    const labs = parsed(text(named(bands), [bands.map(smooth)]));
    expect([from, to, step, furthest(labs, whole) < within]).toEqual([from, to, step, true]);
  }
});

test('names rounded to whole nanometres: 3⅓ nm', () => {
  const bands = Array.from({ length: 91 }, (_, i) => 400 + (10 / 3) * i);
  const labs = parsed(text(named(bands.map(Math.round)), [bands.map(smooth)]));
  const whole = parsed(text(named(range(400, 700)), [range(400, 700).map(smooth)]));
  expect(furthest(labs, whole)).toBeLessThan(1e-6);
});

test('pairs may have their wavelengths in another order in each line', () => {
  const bands = range(400, 700, 20);
  const fields = bands.flatMap(() => ['SPECTRAL_NM', 'SPECTRAL_PCT']);
  const line = (nm: readonly number[]) => nm.flatMap((one) => [one, 100 * smooth(one)]);
  const [up, down] = parsed(text(fields, [line(bands), line(bands.toReversed())]));
  expect(furthest([up!], [down!])).toBeLessThan(1e-9);
  // As stated, though no value looks like per cent.
  const dark = bands.flatMap((nm) => [nm, 1]);
  expect(parsed(text(fields, [dark]))[0]![0]).toBeCloseTo(116 * Math.cbrt(0.01) - 16, 6);
});

test('faults are named', () => {
  const without = NAMES.filter((name) => !name.endsWith('550'));
  expect(message(text(without, [even(0.5, 35)]))).toBe('The reflectance at 550 nm is missing.');
  expect(message(text(NAMES, [even(0.5), ['none', ...even(0.5, 35)]]))).toMatch(/^Patch 2 has no/);
  expect(message(text(NAMES, [even(-0.2)]))).toMatch(/^Patch 1 reflects less than nothing/);
  expect(message(text(NAMES, [even(130)]))).toMatch(/^Patch 1 reflects .* more than all/);
  const faultOf = (bands: readonly number[]) =>
    message(text(named(bands), [even(0.5, bands.length)]));
  expect(faultOf(range(400, 700, 20).filter((nm) => nm !== 560))).toBe(
    'The reflectance at 560 nm is missing.',
  );
  expect(faultOf(range(420, 700, 20))).toBe('The reflectance at 400 nm is missing.');
  expect(faultOf(range(400, 680, 20))).toBe('The reflectance at 700 nm is missing.');
  expect(faultOf(range(380, 740, 40))).toBe(
    'Reflectance stands each 40 nm; steps of 20 nm at most can be used.',
  );
  expect(faultOf([...range(380, 730), 550])).toBe('The reflectance at 550 nm stands twice.');
  const pairs = range(400, 700).flatMap((nm) => [nm, 0.5]);
  const fields = range(400, 700).flatMap(() => ['SPECTRAL_NM', 'SPECTRAL_DEC']);
  expect(message(text(fields, [pairs.map((v) => (v === 500 ? 'green' : v))]))).toBe(
    'A wavelength is no number.',
  );
});

test('Lab beside a reflectance that cannot be used is taken', () => {
  const bands = range(380, 740, 40);
  const [lab] = parsed(
    text(['LAB_L', 'LAB_A', 'LAB_B', ...named(bands)], [[50, 0, 0, ...even(0.5, bands.length)]]),
  );
  expect(lab![0]).toBeCloseTo(50, 6);
});
