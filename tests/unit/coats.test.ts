import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labFromXyzD65, WHITE_D65, xyzD65FromLab } from '../../src/colour/cielab.ts';
import { labD65, xyzD65, type LabD65 } from '../../src/colour/spaces.ts';
import { coatsToHide, USUAL_CARD } from '../../src/paint/coats.ts';
import { colourant, type Colourant } from '../../calibration-samples/render/colourants.ts';
import { labUnder } from '../../calibration-samples/render/spectra.ts';
import { D65 } from '../../src/colour/illuminants.ts';

const grey = (Y: number): LabD65 =>
  labFromXyzD65(xyzD65(Y * WHITE_D65[0], Y * WHITE_D65[1], Y * WHITE_D65[2]));
const luminance = (lab: LabD65) => xyzD65FromLab(lab)[1];

/**
 * A grey film by Kubelka's exponential solution (Kubelka and Munk 1931, eq. 7), written anew, between
 * Saunderson's surfaces: the read Y of `coats` coats with K and S each over a read ground.
 */
function truth(K: number, S: number, coats: number, ground: number): number {
  const [k1, k2] = [0.04, 0.6];
  const a = 1 + K / S;
  const b = Math.sqrt(a * a - 1);
  const [least, most] = [a - b, a + b];
  const g = ground / ((1 - k1) * (1 - k2) + k2 * ground);
  const e = Math.exp(S * coats * (most - least));
  const R =
    (least * (g - most) - most * (g - least) * Math.exp(-S * coats * (most - least))) /
    (g - most - (g - least) * Math.exp(-S * coats * (most - least)));
  expect(e).toBeGreaterThan(0);
  return ((1 - k1) * (1 - k2) * R) / (1 - k2 * R);
}

const CARD = { black: luminance(USUAL_CARD.black), white: luminance(USUAL_CARD.white) };

describe('coats until it hides (ISO 6504-1, ASTM D6441: contrast ratio 0.98)', () => {
  it.each([
    [0.02, 1.2],
    [0.15, 0.8],
    [0.6, 0.5],
    [0.005, 3],
  ])('a grey paint of K %f, S %f a coat: as many as the closed form needs', (K, S) => {
    const found = coatsToHide({
      overBlack: grey(truth(K, S, 1, CARD.black)),
      overWhite: grey(truth(K, S, 1, CARD.white)),
    });
    if (!found.ok) throw new Error(found.error);
    let coats = 0;
    const ratio = (n: number) => truth(K, S, n, CARD.black) / truth(K, S, n, CARD.white);
    while (ratio(coats) < 0.98) coats += 0.001;
    expect(Math.abs(found.exactly - coats)).toBeLessThan(0.01 * coats + 0.002);
    expect(found.contrastRatio).toBeCloseTo(ratio(1), 6);
    expect(found.toHide).toBe(Math.ceil(coats - 1e-3));
    // Two coats over a third ground, which neither reading saw.
    const Y = truth(K, S, 2, 0.3);
    expect(luminance(found.over(grey(0.3), 2))).toBeCloseTo(Y, 4);
  });

  it('coloured paints of the generator: never more coats than their spectra ask, the white as many, none under half', () => {
    for (const [id, coat] of [
      ['red-oxide', 0.5],
      ['yellow-earth', 1],
      ['green-oxide', 0.7],
      ['blue-cobalt', 1.2],
      ['bright-yellow', 1.5],
      ['white', 1.5],
    ] as const) {
      const paint = colourant('judge', id);
      const read = (n: number, ground: number) =>
        labD65(...labUnder(D65.power, film(paint, n * coat, ground)));
      const found = coatsToHide({
        overBlack: read(1, 0.02),
        overWhite: read(1, 0.8),
        black: grey(0.02),
        white: grey(0.8),
      });
      if (!found.ok) throw new Error(`${id}: ${found.error}`);
      let coats = 0;
      while (luminance(read(coats, 0.02)) / luminance(read(coats, 0.8)) < 0.98) coats += 0.02;
      expect(found.exactly).toBeLessThan(1.05 * coats);
      expect(found.exactly).toBeGreaterThan((id === 'white' ? 0.95 : 0.45) * coats);
    }
  });

  it('the fill has vanished once it no longer shows through, later where it differs more', () => {
    const card = {
      overBlack: grey(truth(0.05, 0.6, 1, CARD.black)),
      overWhite: grey(truth(0.05, 0.6, 1, CARD.white)),
    };
    const over = (fill: LabD65) => {
      const found = coatsToHide(card, fill);
      if (!found.ok) throw new Error(found.error);
      const coats = found.overFill!;
      expect(deltaE00(found.over(fill, coats), found.opaque)).toBeLessThanOrEqual(0.8);
      if (coats > 1) {
        expect(deltaE00(found.over(fill, coats - 1), found.opaque)).toBeGreaterThan(0.8);
      }
      return coats;
    };
    const like = coatsToHide(card);
    if (!like.ok) throw new Error(like.error);
    expect(over(like.opaque)).toBe(1);
    expect(over(labD65(20, 0, 0))).toBeGreaterThan(over(labD65(60, 0, 0)));
  });

  it('says what is wrong with the readings', () => {
    const error = (overBlack: LabD65, overWhite: LabD65) => {
      const found = coatsToHide({ overBlack, overWhite });
      return found.ok ? '' : found.error;
    };
    expect(error(labD65(80, 0, 0), labD65(60, 0, 0))).toMatch(/swapped/);
    expect(error(labD65(12, 0, 0), labD65(92, 0, 0))).toMatch(/hides nothing/);
    expect(error(labD65(50, 0, 0), labD65(97, 0, 0))).toMatch(/lighter than the white itself/);
    expect(error(labD65(Number.NaN, 0, 0), labD65(60, 0, 0))).toMatch(/no number/);
  });

  it('what hides in one coat hides in one', () => {
    const found = coatsToHide({ overBlack: labD65(60, 1, 2), overWhite: labD65(60.1, 1, 2) });
    expect(found.ok && found.toHide).toBe(1);
  });
});

/** The same closed form band by band, for a colourant of the generator over a flat ground. */
function film({ absorption, scattering }: Colourant, thickness: number, ground: number) {
  return absorption.map((K, band) =>
    thickness === 0
      ? ground
      : Math.min(
          1,
          Math.max(
            0,
            truth(Math.max(1e-6, K), Math.max(1e-6, scattering[band]!), thickness, ground),
          ),
        ),
  );
}
