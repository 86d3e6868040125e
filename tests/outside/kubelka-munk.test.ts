import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { BANDS, reflectance } from '../../src/colour/grid.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { labD65FromReflectance } from '../../src/colour/spectra.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import { labOfOpaqueFilm } from '../../src/paint/film-colour.ts';
import { genericPalette, genericPigment } from '../../src/paint/generic-pigments.ts';
import { contrastRatioOf, thicknessToHide } from '../../src/paint/hiding.ts';
import {
  internalReflectance,
  readReflectance,
  reflectanceFromKOverS,
  reflectanceOfFilm,
  SURFACE,
} from '../../src/paint/kubelka-munk.ts';
import { nudge } from '../../src/paint/nudge.ts';
import { predictMix } from '../../src/paint/predict.ts';

describe('K/S of opaque films', () => {
  // The Kubelka–Munk function F(R∞), as colour-matching handbooks tabulate it (for example D. B. Judd,
  // G. Wyszecki, “Color in Business, Science and Industry”, 3rd ed. 1975, appendix; from memory).
  it.each([
    [0.05, 9.025],
    [0.1, 4.05],
    [0.2, 1.6],
    [0.3, 0.8167],
    [0.4, 0.45],
    [0.5, 0.25],
    [0.6, 0.1333],
    [0.7, 0.06429],
    [0.8, 0.025],
    [0.9, 0.005556],
    [0.95, 0.001316],
  ])('R∞ = %f has K/S = %f', (R, kOverS) => {
    expect(reflectanceFromKOverS(kOverS)).toBeCloseTo(R, 4);
  });

  it('keeps its digits for blacks, where the textbook form cancels', () => {
    // 1 + q − √(q² + 2q) → 1/(2q) − … ; at q = 10⁷ the difference of two numbers of 10⁷ has lost them.
    expect(reflectanceFromKOverS(1e7) * 2e7).toBeCloseTo(1, 6);
  });
});

describe('a two-pigment mixture worked by hand', () => {
  it('nine parts of white with one of blue', () => {
    // White: K = 0.01, S = 1. Blue: K = 2, S = 0.3. By mass, Duncan 1940:
    //   K = 0.9 × 0.01 + 0.1 × 2   = 0.209
    //   S = 0.9 × 1    + 0.1 × 0.3 = 0.93
    //   K/S = 0.2247312
    //   √(0.2247312² + 2 × 0.2247312) = √(0.0505041 + 0.4494624) = √0.4999665 = 0.7070831
    //   R∞ = 1 + 0.2247312 − 0.7070831 = 0.5176481
    // Read through a surface with k₁ = 0.04, k₂ = 0.6, specular excluded:
    //   (0.96 × 0.4 × 0.5176481) / (1 − 0.6 × 0.5176481) = 0.1987769 / 0.6894111 = 0.2883285
    const R = reflectanceFromKOverS((0.9 * 0.01 + 0.1 * 2) / (0.9 * 1 + 0.1 * 0.3));
    expect(R).toBeCloseTo(0.5176481, 6);
    const read = readReflectance(R, { k1: 0.04, k2: 0.6 });
    expect(read).toBeCloseTo(0.2883285, 6);
    // The same film in every band is a grey of Y = 0.2883285: L* = 116 × 0.2883285^⅓ − 16 = 60.6354.
    const lab = labOfOpaqueFilm(new Float64Array(BANDS).fill(0.2247312), { k1: 0.04, k2: 0.6 });
    expect(lab[0]).toBeCloseTo(116 * 0.2883285 ** (1 / 3) - 16, 4);
    expect(Math.hypot(lab[1], lab[2])).toBeLessThan(1e-6);
  });
});

describe('Saunderson’s correction', () => {
  it('has Fresnel’s 4 % at the surface of n = 1.5', () => {
    // Fresnel at normal incidence: ((n − 1)/(n + 1))².
    expect(SURFACE.k1).toBeCloseTo(((1.5 - 1) / (1.5 + 1)) ** 2, 12);
    // Diffuse light from inside n = 1.5: 0.596 (D. B. Judd 1942, J. Res. NBS 29, 329; from memory).
    expect(SURFACE.k2).toBeCloseTo(0.596, 2);
  });

  it('reads a perfect diffuser as 1 − k₁, black as nothing, and inverts', () => {
    expect(readReflectance(1, SURFACE)).toBeCloseTo(1 - SURFACE.k1, 12);
    expect(readReflectance(0, SURFACE)).toBe(0);
    for (const R of [0.01, 0.2, 0.5, 0.8, 0.99]) {
      expect(internalReflectance(readReflectance(R, SURFACE), SURFACE)).toBeCloseTo(R, 12);
    }
  });
});

describe('films over a ground', () => {
  const K = 0.3;
  const S = 1.7;

  it('solves the differential equation of Kubelka and Munk 1931', () => {
    // dR/dX = S − 2(K + S)R + S·R², R(0) = R_g, integrated by Runge–Kutta in 2000 steps.
    for (const ground of [0, 0.35, 0.8, 1]) {
      const thickness = 0.9;
      const h = thickness / 2000;
      const slope = (R: number) => S - 2 * (K + S) * R + S * R * R;
      let R = ground;
      for (let step = 0; step < 2000; step++) {
        const a = slope(R);
        const b = slope(R + (h * a) / 2);
        const c = slope(R + (h * b) / 2);
        const d = slope(R + h * c);
        R += (h * (a + 2 * b + 2 * c + d)) / 6;
      }
      expect(reflectanceOfFilm(K, S, thickness, ground)).toBeCloseTo(R, 9);
    }
  });

  it('is the ground when there is no film, and R∞ when it is thick', () => {
    for (const ground of [0, 0.4, 1]) {
      expect(reflectanceOfFilm(K, S, 0, ground)).toBe(ground);
      expect(reflectanceOfFilm(K, S, 50, ground)).toBeCloseTo(reflectanceFromKOverS(K / S), 9);
    }
  });

  it('is clear film when it does not scatter, and pure scatter when it does not absorb', () => {
    // Beer–Lambert down and back: R_g·exp(−2KX).
    expect(reflectanceOfFilm(0.5, 0, 2, 0.8)).toBeCloseTo(0.8 * Math.exp(-2), 9);
    expect(reflectanceOfFilm(0.5, 1e-7, 2, 0.8)).toBeCloseTo(0.8 * Math.exp(-2), 6);
    // Kubelka 1948, K → 0 over black: R₀ = SX/(1 + SX); over any ground ((1 − R_g)SX + R_g)/((1 − R_g)SX + 1).
    expect(reflectanceOfFilm(0, 1, 3, 0)).toBeCloseTo(3 / 4, 9);
    expect(reflectanceOfFilm(0, 1, 3, 0.5)).toBeCloseTo((0.5 * 3 + 0.5) / (0.5 * 3 + 1), 9);
  });

  it('obeys a = ½(R + (R₀ − R + R_g)/(R₀R_g))', () => {
    // Kubelka 1948, the relation that gives K/S from a film over black and over R_g.
    const overBlack = reflectanceOfFilm(K, S, 0.6, 0);
    const overGround = reflectanceOfFilm(K, S, 0.6, 0.8);
    const a = 0.5 * (overGround + (overBlack - overGround + 0.8) / (overBlack * 0.8));
    expect(a).toBeCloseTo(1 + K / S, 9);
  });

  it('hides from contrast ratio 0.98 on', () => {
    // ISO 6504-1 and ASTM D6441: contrast ratio 0.98 is taken as complete hiding.
    const palette = genericPalette();
    const thickness = thicknessToHide(palette, { white: 1 });
    expect(contrastRatioOf(palette, { white: 1 }, thickness)).toBeCloseTo(0.98, 5);
    expect(contrastRatioOf(palette, { white: 1 }, 0.9 * thickness)).toBeLessThan(0.98);
  });

  it('hides sooner the darker the paint: a hint of black makes white hide in fewer coats', () => {
    // Common practice, no source: a trace of black or umber in a white makes it cover.
    const palette = genericPalette();
    const white = thicknessToHide(palette, { white: 1 });
    const grey = thicknessToHide(palette, { white: 1, black: 0.01 });
    expect(grey).toBeLessThan(0.7 * white);
  });
});

describe('opaque colour', () => {
  it('agrees with the spectral chain of src/colour', () => {
    const kOverS = Float64Array.from({ length: BANDS }, (_, band) => 0.02 + (band / 20) ** 2);
    const surface = { k1: 0.03, k2: 0.5 };
    const spectrum = reflectance(
      kOverS.map((q) => readReflectance(reflectanceFromKOverS(q), surface)),
    );
    const lab = labOfOpaqueFilm(kOverS, surface);
    expect(deltaE00(lab, labD65FromReflectance(spectrum))).toBeLessThan(1e-9);
  });
});

describe('facts of the trade (common practice, no source)', () => {
  const palette = genericPalette();
  const porcelain = labD65(88.5, -1.2, -0.4);

  it('reaches a near-white porcelain ground from white with a little blue, a touch of yellow earth and a trace of black', () => {
    const trade = ['white', 'ultramarine', 'yellow oxide', 'black'];
    const mixed = answerNudge({
      palette: palette.filter(({ id }) => trade.includes(id)),
      pot: {},
      glazeLab: porcelain,
      amount: 20,
      smallest: 0.001,
    });
    if (!mixed.ok) throw new Error(mixed.error);
    const { additions: pot, predicted } = mixed.suggestions[0]!;
    expect(deltaE00(predicted.lab, porcelain)).toBeLessThan(0.6);
    expect(pot['white']).toBeGreaterThan(0.95 * 20);
    const colour = (pot['ultramarine'] ?? 0) + (pot['yellow oxide'] ?? 0) + (pot['black'] ?? 0);
    expect(colour).toBeGreaterThan(0);
    expect(pot['black'] ?? 0).toBeLessThan(0.01);
  });

  it('corrects a pot that is slightly dark with white', () => {
    const pot = { white: 5, ultramarine: 0.03, 'yellow oxide': 0.03, black: 0.004 };
    const dabLab = predictMix(palette, pot);
    const lighter = predictMix(palette, { ...pot, white: 6.4 });
    const answer = nudge({
      palette,
      pot,
      dabLab,
      glazeLab: lighter,
      history: [],
      smallest: 0.002,
      largestGrowth: 0.8,
    });
    if (!answer.ok) throw new Error(answer.error);
    expect(Object.keys(answer.suggestions[0]!.additions)).toEqual(['white']);
    expect(answer.suggestions[0]!.additions['white']).toBeGreaterThan(1);
    expect(answer.suggestions[0]!.additions['white']).toBeLessThan(1.8);
  });

  it('knows that black is stronger in white than earth is', () => {
    const tint = (name: string) => genericPigment(name)!.tint!.lab[0];
    expect(tint('PBk 11')).toBeLessThan(tint('PY 42') - 20);
  });
});
