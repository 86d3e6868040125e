/** A jar's label leads back to the jar: scanned from a picture of its code, or typed. */
import { expect, test } from 'vitest';
import decodeQR from 'qr/decode.js';
import { encode } from 'uqr';
import { jarByLabel, labelCode, labelText } from '../../../src/job/jar-label.ts';
import { jar } from '../job-examples.ts';

const JOB = '20260301T090000000Z-aaaaaaaa';
const own = { ...jar, id: `jar/${JOB}/P/A/20260302T090000000Z-k3f9z2qx` } as const;
const other = { ...jar, id: `jar/${JOB}/P/A/20260303T090000000Z-zzzzzzzz` } as const;
const jars = [other, own];

/** The code as pixels, black on white, eight to a module. */
function drawn(text: string) {
  const { data, size } = encode(text, { border: 4, ecc: 'M' });
  const side = 8 * size;
  const rgba = new Uint8ClampedArray(4 * side * side).fill(255);
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      if (data[Math.floor(y / 8)]![Math.floor(x / 8)])
        rgba.fill(0, 4 * (y * side + x), 4 * (y * side + x) + 3);
    }
  }
  return { width: side, height: side, data: rgba };
}

test('the printed code, read by a decoder of another library, is the jar and holds the job', () => {
  const text = decodeQR(drawn(labelText(own)), { timeLimit: 5000 });
  expect(text.split('\n')[0]).toBe(`job/${JOB}`);
  expect(jarByLabel(text, jars)).toEqual({ ok: true, jar: own });
});

test('the code below it, typed in either case', () => {
  expect(labelCode(own)).toBe('F9Z2QX');
  expect(jarByLabel(' f9z2qx ', jars)).toEqual({ ok: true, jar: own });
});

test.each([
  ['', 'Type the code of the label.'],
  ['AAAAAA', 'No jar on this shelf has the code AAAAAA.'],
  ['http://example.org', /^That is no label of a jar/],
  [labelText({ id: 'jar/J/P/A/gone' }), /^That jar is not on this shelf/],
  [`job/${JOB}`, /^That jar is not on this shelf/],
])('%j is said in a line', (text, message) => {
  const found = jarByLabel(text, jars);
  expect(found.ok ? 'found' : found.message).toMatch(message);
});
