import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labFromXyzD65 } from '../../src/colour/cielab.ts';
import { deltaE00OfPixels } from '../../src/colour/delta-e-kernel.ts';
import { labD65, linearRgb, type LabD65 } from '../../src/colour/spaces.ts';
import { linearFromEncoded, xyzD65FromLinearSrgb } from '../../src/colour/srgb.ts';
import { compiledKernel } from '../../src/headless/compile-kernel.ts';

// The scalar formula is the oracle; it is itself held by the 34 published pairs in
// tests/outside/colour-ciede2000.test.ts.

/** Largest error the blend map may have. */
const REACH = 0.005;

type Rgb = readonly [number, number, number];

function labOfPixel(codes: Rgb, light = 1, gain: Rgb = [1, 1, 1]): LabD65 {
  const linear = codes.map((code, i) => (linearFromEncoded(code / 255) * gain[i]!) / light);
  return labFromXyzD65(xyzD65FromLinearSrgb(linearRgb(linear[0]!, linear[1]!, linear[2]!)));
}

function pixelsOf(colours: readonly Rgb[]): Uint8Array {
  return Uint8Array.from(colours.flatMap((codes) => [...codes, 255]));
}

/** Largest difference between kernel and scalar formula, and the pixel it is at. */
function worstError(
  glazeLab: LabD65,
  colours: readonly Rgb[],
  shading?: Float32Array,
  gain?: Rgb,
): { readonly error: number; readonly at: Rgb | undefined } {
  const own = deltaE00OfPixels({
    rgba: pixelsOf(colours),
    glazeLab,
    ...(shading && { shading }),
    ...(gain && { gain }),
  });
  let error = 0;
  let at: Rgb | undefined;
  colours.forEach((codes, i) => {
    const scalar = deltaE00(glazeLab, labOfPixel(codes, shading?.[i], gain));
    const off = Math.abs(own[i]! - scalar);
    // Written so that a NaN counts as an error.
    if (!(off <= error)) [error, at] = [off, codes];
  });
  return { error, at };
}

/** The gamut in steps of 6 codes, and every grey with its nearest neighbours. */
const WHOLE_GAMUT: readonly Rgb[] = (() => {
  const codes = [...Array.from({ length: 43 }, (_, i) => 6 * i), 255];
  return codes.flatMap((r) => codes.flatMap((g) => codes.map((b): Rgb => [r, g, b])));
})();
const NEAR_NEUTRAL: readonly Rgb[] = Array.from({ length: 254 }, (_, i) => i + 1).flatMap((grey) =>
  [-1, 0, 1].flatMap((r) => [-1, 0, 1].map((b): Rgb => [grey + r, grey, grey + b])),
);

const GLAZES: readonly (readonly [string, LabD65])[] = [
  ['white glaze', labD65(92, -1, 3)],
  ['exact grey', labD65(50, 0, 0)],
  ['almost grey', labD65(62, 0.003, -0.002)],
  ['black', labD65(0, 0, 0)],
  ['celadon', labD65(74, -12, 9)],
  ['iron red', labD65(38, 40, 32)],
  ['cobalt blue, in the rotation', labD65(28, 14, -48)],
  ['blue at 275°', labD65(45, 4.4, -50)],
  ['hue just above the wrap', labD65(55, 40, 0.0001)],
  ['hue just below the wrap', labD65(55, 40, -0.0001)],
  ['opposite the wrap', labD65(55, -40, 0)],
  ['yellow', labD65(85, 2, 80)],
  ['beyond the screen', labD65(60, -90, 60)],
];

describe('bulk ΔE₀₀ of pixels', () => {
  it.each(GLAZES)('errs by less than 0.005 over the whole gamut: %s', (_, glazeLab) => {
    const { error, at } = worstError(glazeLab, WHOLE_GAMUT);
    expect(error, `at ${String(at)}`).toBeLessThan(REACH);
  });

  it.each(GLAZES)('errs by less than 0.005 near the greys: %s', (_, glazeLab) => {
    const { error, at } = worstError(glazeLab, NEAR_NEUTRAL);
    expect(error, `at ${String(at)}`).toBeLessThan(REACH);
  });

  it('errs by less than 0.005 where the difference itself is small', () => {
    // The glaze is one pixel's own colour, the pixels its neighbours to 3 codes.
    const near = [-3, -2, -1, 0, 1, 2, 3];
    const channel = fc.integer({ min: 3, max: 252 });
    fc.assert(
      fc.property(channel, channel, channel, (r, g, b) => {
        const colours = near.flatMap((i) =>
          near.flatMap((j) => near.map((k): Rgb => [r + i, g + j, b + k])),
        );
        expect(worstError(labOfPixel([r, g, b]), colours).error).toBeLessThan(REACH);
      }),
      { seed: 11664, numRuns: 60 },
    );
  });

  it('errs by less than 0.005 on and beside the seam of opposite hues', () => {
    const channel = fc.integer({ min: 0, max: 255 });
    fc.assert(
      fc.property(
        channel,
        channel,
        channel,
        fc.double({ min: 0.05, max: 2, noNaN: true }),
        fc.constantFrom(0, 1e-12, -1e-12, 1e-6, -1e-6, 1e-4, -1e-4, 0.01, -0.01),
        (r, g, b, length, aside) => {
          const [L, a, bStar] = labOfPixel([r, g, b]);
          const glazeLab = labD65(L, -length * (a - aside * bStar), -length * (bStar + aside * a));
          expect(worstError(glazeLab, [[r, g, b]]).error).toBeLessThan(REACH);
        },
      ),
      { seed: 11664, numRuns: 3000 },
    );
  });

  it('divides by the shading and multiplies by the gain, also beyond white', () => {
    const colours = WHOLE_GAMUT.filter((_, i) => i % 3 === 0);
    const shading = Float32Array.from(colours, (_, i) => 0.3 + ((i * 7919) % 1000) / 500);
    const { error } = worstError(labD65(70, 5, 12), colours, shading, [1.31, 1.07, 0.84]);
    expect(error).toBeLessThan(REACH);
  });

  it('is zero for the glaze itself, whatever light it stands in', () => {
    const glazeLab = labOfPixel([120, 90, 60]);
    const rgba = pixelsOf([[120, 90, 60]]);
    expect(deltaE00OfPixels({ rgba, glazeLab })[0]).toBeLessThan(REACH);
    const half = deltaE00OfPixels({
      rgba,
      shading: Float32Array.of(0.5),
      gain: [0.5, 0.5, 0.5],
      glazeLab,
    });
    expect(half[0]).toBeLessThan(REACH);
  });

  it('takes any number of pixels, keeps their order and ignores alpha', () => {
    const glazeLab = labD65(50, 20, 10);
    for (const count of [0, 1, 3, 4095, 4096, 4097, 9001]) {
      const colours = Array.from({ length: count }, (_, i): Rgb => [i % 251, i % 241, i % 239]);
      const rgba = pixelsOf(colours).map((byte, i) => (i % 4 === 3 ? i % 256 : byte));
      const own = deltaE00OfPixels({ rgba, glazeLab });
      expect(own).toHaveLength(count);
      for (const i of [0, count >> 1, count - 1].filter((at) => at >= 0 && at < count)) {
        expect(Math.abs(own[i]! - deltaE00(glazeLab, labOfPixel(colours[i]!)))).toBeLessThan(REACH);
      }
    }
  });

  it('forgets one call before the next', () => {
    const rgba = pixelsOf([[200, 10, 30]]);
    const glazeLab = labD65(30, 5, 5);
    const plain = deltaE00OfPixels({ rgba, glazeLab })[0];
    deltaE00OfPixels({
      rgba,
      shading: Float32Array.of(3),
      gain: [2, 1, 1],
      glazeLab: labD65(9, 9, 9),
    });
    expect(deltaE00OfPixels({ rgba, glazeLab })[0]).toBe(plain);
  });

  it('writes into the given array and returns it', () => {
    const into = new Float32Array(1);
    expect(
      deltaE00OfPixels({ rgba: pixelsOf([[0, 0, 0]]), glazeLab: labD65(50, 0, 0) }, into),
    ).toBe(into);
    expect(into[0]).toBeGreaterThan(10);
  });

  it('answers NaN where the shading is not above zero, and only there', () => {
    const shading = Float32Array.of(1, 0, -1, NaN, 1);
    const rgba = new Uint8Array(20).fill(128);
    const own = deltaE00OfPixels({ rgba, shading, glazeLab: labD65(50, 1, 1) });
    expect([...own].map(Number.isNaN)).toEqual([false, true, true, true, false]);
  });

  it('says what is wrong with a request', () => {
    const glazeLab = labD65(50, 0, 0);
    const rgba = new Uint8Array(8);
    expect(() => deltaE00OfPixels({ rgba: new Uint8Array(7), glazeLab })).toThrow('7 bytes');
    expect(() => deltaE00OfPixels({ rgba, shading: new Float32Array(3), glazeLab })).toThrow(
      '2 pixels need 2 shading values, not 3',
    );
    expect(() => deltaE00OfPixels({ rgba, glazeLab }, new Float32Array(1))).toThrow('not 1');
    expect(() => deltaE00OfPixels({ rgba, gain: [1, 0, 1], glazeLab })).toThrow('gains');
    expect(() => deltaE00OfPixels({ rgba, glazeLab: labD65(50, NaN, 0) })).toThrow('glaze');
  });

  it('runs the code its source compiles to', async () => {
    const kept = readFileSync(
      new URL('../../src/colour/delta-e-kernel-code.ts', import.meta.url),
      'utf8',
    );
    expect(kept, 'run `npm run kernel`').toBe(await compiledKernel());
  });
});
