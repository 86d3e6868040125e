import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { BANDS } from '../../src/colour/grid.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { characterise } from '../../src/paint/characterise.ts';
import { labOfOpaqueFilm } from '../../src/paint/film-colour.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { SURFACE } from '../../src/paint/kubelka-munk.ts';
import { predictMix, pull } from '../../src/paint/predict.ts';
import { characterisationsOf } from '../../src/paint/quality.ts';
import type { PalettePigment } from '../../src/paint/types.ts';
import { paintBox, randomFrom, type PaintBox } from '../evaluate/paint-truth.ts';

const IDS = ['white', 'black', 'cobalt', 'phthalo', 'ochre', 'cadmium', 'ironred', 'umber'];

/** A palette read without error from paint that the estimator does not know. */
function boxAndPalette(seed: number): { box: PaintBox; palette: PalettePigment[] } {
  const box = paintBox(IDS, randomFrom(seed));
  const palette = IDS.map((id) => ({
    id,
    masstone: box.labOf({ [id]: 1 }),
    ...(id === 'white'
      ? { isWhite: true }
      : { tint: { lab: box.labOf({ [id]: 1, white: 9 }), pigment: 1, white: 9 } }),
  }));
  return { box, palette };
}

describe('a palette characterised from masstone and tint', () => {
  it('gives back the masstones and tints that were read', () => {
    // The readings are trusted to 0.6 on each axis: the fit may differ by that, not more.
    const { palette } = boxAndPalette(3);
    for (const { id, masstone, tint } of palette) {
      expect(deltaE00(predictMix(palette, { [id]: 1 }), masstone)).toBeLessThan(1);
      if (!tint) continue;
      expect(deltaE00(predictMix(palette, { [id]: 1, white: 9 }), tint.lab)).toBeLessThan(1);
    }
  });

  it('has positive, finite K and S, and white S of 1', () => {
    for (const pigment of characterise(boxAndPalette(4).palette, SURFACE)) {
      for (let band = 0; band < BANDS; band++) {
        expect(pigment.K[band]).toBeGreaterThan(0);
        expect(pigment.S[band]).toBeGreaterThan(0);
        expect(Number.isFinite(pigment.K[band]! + pigment.S[band]!)).toBe(true);
      }
      if (pigment.id === 'white') expect(Math.max(...pigment.S)).toBe(1);
    }
  });

  it('predicts mixtures of paint it does not know within about 2 ΔE00, masstones alone many times worse', () => {
    let tinted = 0;
    let untinted = 0;
    let count = 0;
    for (const seed of [1, 2, 3]) {
      const { box, palette } = boxAndPalette(seed);
      const alone = palette.map(({ id, masstone }) => ({ id, masstone, isWhite: id === 'white' }));
      for (const pot of [
        { white: 50, cobalt: 2, ochre: 1 },
        { white: 20, phthalo: 0.5, black: 0.1 },
        { white: 5, ironred: 3, umber: 2 },
        { white: 10, cadmium: 4, ironred: 0.3 },
      ]) {
        const truth = box.labOf(pot);
        tinted += deltaE00(predictMix(palette, pot), truth);
        untinted += deltaE00(predictMix(alone, pot), truth);
        count++;
      }
    }
    expect(tinted / count).toBeLessThan(2);
    expect(untinted / count).toBeGreaterThan(2 * (tinted / count));
  });

  it('says how well each pigment is known, and that a tint is what is missing', () => {
    const { palette } = boxAndPalette(5);
    const known = characterisationsOf(palette);
    const alone = characterisationsOf(
      palette.map(({ id, masstone }) => ({ id, masstone, isWhite: id === 'white' })),
    );
    known.forEach((one, p) => {
      expect(one.grade).not.toBe('poor');
      if (one.id === 'white') return;
      expect(alone[p]!.deltaE00).toBeGreaterThan(2 * one.deltaE00);
      expect(alone[p]!.remedy).toMatch(/tint/);
    });
  });

  it('knows a pigment better by a second tint', () => {
    const { box, palette } = boxAndPalette(6);
    const twice = palette.map((pigment) => {
      if (pigment.isWhite) return pigment;
      const lab = box.labOf({ [pigment.id]: 1, white: 40 });
      return { ...pigment, moreTints: [{ lab, pigment: 1, white: 40 }] };
    });
    const once = characterisationsOf(palette);
    characterisationsOf(twice).forEach((one, p) => {
      if (!palette[p]!.isWhite) expect(one.deltaE00).toBeLessThan(once[p]!.deltaE00);
    });
    for (const id of ['phthalo', 'ironred']) {
      const truth = box.labOf({ [id]: 1, white: 30 });
      expect(deltaE00(predictMix(twice, { [id]: 1, white: 30 }), truth)).toBeLessThan(1);
    }
  });

  it('takes the brightest white and the deepest black that a camera may read', () => {
    const palette = [
      { id: 'white', isWhite: true, masstone: labD65(100, 0, 0) },
      {
        id: 'black',
        masstone: labD65(0, 0, 0),
        tint: { lab: labD65(40, 0, 0), pigment: 1, white: 9 },
      },
    ];
    const lab = predictMix(palette, { white: 9, black: 1 });
    expect(lab.every((value) => Number.isFinite(value))).toBe(true);
    expect(lab[0]).toBeGreaterThan(35);
    expect(lab[0]).toBeLessThan(45);
  });
});

describe('slopes of an opaque film', () => {
  it('agree with finite differences', () => {
    const kOverS = Float64Array.from({ length: BANDS }, (_, band) => 0.01 + (band / 15) ** 3);
    const slopes = new Float64Array(3 * BANDS);
    labOfOpaqueFilm(kOverS, SURFACE, slopes);
    const h = 1e-5;
    for (const band of [3, 10, 18, 25, 33]) {
      const up = kOverS.slice();
      const down = kOverS.slice();
      up[band]! *= Math.exp(h);
      down[band]! *= Math.exp(-h);
      const above = labOfOpaqueFilm(up, SURFACE);
      const below = labOfOpaqueFilm(down, SURFACE);
      for (let axis = 0; axis < 3; axis++) {
        const numeric = (above[axis]! - below[axis]!) / (2 * h);
        expect(slopes[axis * BANDS + band]).toBeCloseTo(numeric, 5);
      }
    }
  });
});

describe('pull', () => {
  const palette = genericPalette();
  const pot = { white: 5, ultramarine: 0.05, 'yellow oxide': 0.1 };
  const dab = predictMix(palette, pot);
  const pulls = pull(palette, pot, dab);

  it('is the change per gram of a small addition', () => {
    for (const id of ['black', 'red oxide', 'ultramarine', 'white']) {
      const grams = 1e-6;
      const after = predictMix(palette, {
        ...pot,
        [id]: ((pot as Record<string, number>)[id] ?? 0) + grams,
      });
      for (let axis = 0; axis < 3; axis++) {
        const change = (after[axis]! - dab[axis]!) / grams;
        expect(Math.abs(pulls[id]![axis]! - change)).toBeLessThan(0.05 * Math.abs(change) + 0.5);
      }
    }
  });

  it('goes where the trade knows it goes', () => {
    // Common practice, no source.
    expect(pulls['black']![0]).toBeLessThan(0);
    expect(pulls['white']![0]).toBeGreaterThan(0);
    expect(pulls['ultramarine']![2]).toBeLessThan(0);
    expect(pulls['yellow oxide']![2]).toBeGreaterThan(0);
    expect(pulls['red oxide']![1]).toBeGreaterThan(0);
    expect(pulls['viridian']![1]).toBeLessThan(0);
  });

  it('names a pigment that is not there', () => {
    expect(() => pull(palette, { blu: 1 }, dab)).toThrow(/“blu” is not in the palette/);
    expect(() => predictMix(palette, { white: -1 })).toThrow(/“white”: -1 g is not a mass/);
    expect(() => predictMix(palette, { white: 0 })).toThrow(/empty/);
  });
});
