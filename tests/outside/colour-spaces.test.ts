import Color from 'colorjs.io';
import { adapt as adaptationOfColorjs } from 'colorjs.io/src/CATs.js';
import { converter } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { adapt, adaptationMatrix } from '../../src/colour/adaptation.ts';
import { labFromXyzD65, WHITE_D65, xyzD65FromLab } from '../../src/colour/cielab.ts';
import { cssColour } from '../../src/colour/css.ts';
import { labD65, linearRgb, xyz, type LabD65 } from '../../src/colour/spaces.ts';
import {
  encodedFromLinear,
  linearFromEncoded,
  linearSrgbFromXyzD65,
  xyzD65FromLinearSrgb,
} from '../../src/colour/srgb.ts';

const channel = fc.double({ min: 0, max: 1, noNaN: true });
const SEEDED = { seed: 11664, numRuns: 400 };

function labOfEncoded(r: number, g: number, b: number): LabD65 {
  return labFromXyzD65(
    xyzD65FromLinearSrgb(
      linearRgb(linearFromEncoded(r), linearFromEncoded(g), linearFromEncoded(b)),
    ),
  );
}

function expectClose(own: readonly number[], other: readonly (number | null)[], within: number) {
  own.forEach((value, i) => expect(Math.abs(value - other[i]!)).toBeLessThan(within));
}

describe('sRGB, IEC 61966-2-1', () => {
  it('has the matrix of the standard, four decimals', () => {
    // IEC 61966-2-1:1999, linear RGB → XYZ.
    expectClose(xyzD65FromLinearSrgb(linearRgb(1, 0, 0)), [0.4124, 0.2126, 0.0193], 0.00005);
    expectClose(xyzD65FromLinearSrgb(linearRgb(0, 1, 0)), [0.3576, 0.7152, 0.1192], 0.00005);
    expectClose(xyzD65FromLinearSrgb(linearRgb(0, 0, 1)), [0.1805, 0.0722, 0.9505], 0.00005);
  });
  it('has the tone curve of the standard at its corner and in the middle', () => {
    expect(linearFromEncoded(0.04045)).toBeCloseTo(0.04045 / 12.92, 12);
    expect(encodedFromLinear(0.0031308)).toBeCloseTo(12.92 * 0.0031308, 12);
    // 128/255 → 0.2158605 (IEC 61966-2-1 equation worked by hand: ((128/255 + 0.055)/1.055)^2.4).
    expect(linearFromEncoded(128 / 255)).toBeCloseTo(0.2158605, 7);
  });
  it('agrees with colorjs.io, both ways, over random colours', () => {
    fc.assert(
      fc.property(channel, channel, channel, (r, g, b) => {
        const xyzOther = new Color('srgb', [r, g, b]).to('xyz-d65').coords;
        const [lr, lg, lb] = [r, g, b].map(linearFromEncoded) as [number, number, number];
        const xyzOwn = xyzD65FromLinearSrgb(linearRgb(lr, lg, lb));
        expectClose(xyzOwn, xyzOther, 1e-9);
        expectClose(linearSrgbFromXyzD65(xyzOwn).map(encodedFromLinear), [r, g, b], 1e-9);
      }),
      SEEDED,
    );
  });
});

describe('CIELAB D65/2°', () => {
  it('agrees with colorjs.io lab-d65 and culori lab65 over random colours', () => {
    const toLab65 = converter('lab65');
    fc.assert(
      fc.property(channel, channel, channel, (r, g, b) => {
        const own = labOfEncoded(r, g, b);
        expectClose(own, new Color('srgb', [r, g, b]).to('lab-d65').coords, 1e-6);
        // culori carries its XYZ matrix to fewer decimals.
        const { l, a, b: bStar } = toLab65({ mode: 'rgb', r, g, b });
        expectClose(own, [l, a, bStar], 1e-4);
      }),
      SEEDED,
    );
  });
  it('round-trips, from far below black to beyond white', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 130, noNaN: true }),
        fc.double({ min: -150, max: 150, noNaN: true }),
        fc.double({ min: -150, max: 150, noNaN: true }),
        (L, a, b) => expectClose(labFromXyzD65(xyzD65FromLab(labD65(L, a, b))), [L, a, b], 1e-9),
      ),
      SEEDED,
    );
  });
  it('has L* = 100 for white and the linear part near black (ISO/CIE 11664-4)', () => {
    expectClose(labFromXyzD65(WHITE_D65), [100, 0, 0], 1e-12);
    // Y = 0.008856: L* = 903.3 × 0.008856 = 8.0 (CIE 15:2004 section 8.2.1).
    const dark = xyzD65FromLab(labD65(7.9996, 0, 0));
    expect(dark[1]).toBeCloseTo(0.008856, 5);
  });
});

describe('chromatic adaptation', () => {
  it('Bradford D65 → D50 is the published matrix', () => {
    // B. Lindbloom, “Chromatic Adaptation”, whites of ASTM E308: seven decimals (from memory).
    const matrix = adaptationMatrix(xyz(0.95047, 1, 1.08883), xyz(0.96422, 1, 0.82521), 'bradford');
    expectClose(matrix[0], [1.0478112, 0.0228866, -0.050127], 1e-7);
    expectClose(matrix[1], [0.0295424, 0.9904844, -0.0170491], 1e-7);
    expectClose(matrix[2], [-0.0092345, 0.0150436, 0.7521316], 1e-7);
  });
  it('Bradford D65 → D50 is the matrix of CSS Color 4', () => {
    // W3C CSS Color Module Level 4, section 18, D65_to_D50 (from memory), whites by chromaticity.
    const fromXy = (x: number, y: number) => xyz(x / y, 1, (1 - x - y) / y);
    const matrix = adaptationMatrix(fromXy(0.3127, 0.329), fromXy(0.3457, 0.3585));
    expectClose(matrix[0], [1.0479297925449969, 0.022946870601609652, -0.05019226628920524], 1e-9);
    expectClose(matrix[1], [0.02962780877005599, 0.9904344267538799, -0.017073799063418826], 1e-9);
    expectClose(matrix[2], [-0.009243040646204504, 0.015055191490298152, 0.7518742814281371], 1e-9);
  });
  it('sRGB → Lab D50 is what LittleCMS makes of it', () => {
    // LittleCMS 2.14 (Debian liblcms2-utils): transicc -t1 -c0 -i*sRGB -o*Lab4, four decimals. Its
    // sRGB profile is held in 16-bit fixed point, hence the tolerance.
    const D50 = xyz(0.9642, 1, 0.8249);
    for (const [rgb, lab] of [
      [
        [255, 0, 0],
        [54.2896, 80.8144, 69.8897],
      ],
      [
        [0, 255, 0],
        [87.8194, -79.2749, 80.9927],
      ],
      [
        [0, 0, 255],
        [29.5659, 68.2862, -112.0329],
      ],
      [
        [128, 128, 128],
        [53.585, 0, 0],
      ],
      [
        [200, 120, 40],
        [58.456, 27.8285, 54.5878],
      ],
      [
        [20, 60, 90],
        [23.7201, -5.5327, -22.4281],
      ],
      [
        [240, 235, 220],
        [93.1381, -0.1451, 7.9339],
      ],
      [
        [90, 40, 30],
        [23.2525, 22.8251, 17.8551],
      ],
    ] as const) {
      const [r, g, b] = rgb.map((code) => linearFromEncoded(code / 255)) as [
        number,
        number,
        number,
      ];
      const underD50 = adapt(xyzD65FromLinearSrgb(linearRgb(r, g, b)), WHITE_D65, D50);
      // Lab of a D50 colour: the same formula on the ratios to its own white.
      const ratios = underD50.map((value, i) => (value / D50[i]!) * WHITE_D65[i]!);
      expectClose(labFromXyzD65(ratios as never), lab, 0.02);
    }
  });
  it.each(['bradford', 'cat02', 'cat16'] as const)('%s maps white to white', (transform) => {
    const white = xyz(1.0985, 1, 0.3558);
    expectClose(adapt(white, white, WHITE_D65, transform), WHITE_D65, 1e-12);
  });
  it('CAT02 and CAT16 agree with npm colorjs.io', () => {
    for (const [own, other] of [
      ['cat02', 'CAT02'],
      ['cat16', 'CAT16'],
    ] as const) {
      const matrix = adaptationMatrix(xyz(1.0985, 1, 0.3558), WHITE_D65, own);
      const theirs = adaptationOfColorjs(
        [1.0985, 1, 0.3558],
        [WHITE_D65[0], WHITE_D65[1], WHITE_D65[2]],
        other,
      );
      matrix.forEach((row, i) => expectClose(row, theirs[i]!, 2e-6));
    }
  });
  it('refuses a white that is no light', () => {
    expect(() => adapt(xyz(0.1, 0.1, 0.1), xyz(0, 0, 0), WHITE_D65)).toThrow(RangeError);
    expect(() => adapt(xyz(0.1, 0.1, 0.1), xyz(NaN, 1, 1), WHITE_D65)).toThrow(RangeError);
  });
});

describe('CSS', () => {
  it('is read back by colorjs.io as the same Lab D65', () => {
    fc.assert(
      fc.property(channel, channel, channel, (r, g, b) => {
        const lab = labOfEncoded(r, g, b);
        const css = cssColour(lab);
        expect(css).toMatch(/^color\(xyz-d65( -?\d+(\.\d+)?){3}\)$/);
        const back = new Color(css).to('srgb').coords;
        // Far below half an 8-bit code.
        expectClose(back.map(Number), [r, g, b], 0.0002);
      }),
      SEEDED,
    );
  });
  it('refuses what is not a colour', () => {
    expect(() => cssColour(labD65(NaN, 0, 0))).toThrow('finite');
  });
});
