import { describe, expect, test } from 'vitest';
import { checkLight } from '../../src/reading/light-check.ts';
import type { EncodedPicture } from '../../src/reading/types.ts';
import { polygon, shoot, turnedRectangle, type Shot, type Triple } from './reading-scene.ts';

const corners = turnedRectangle({ x: 200, y: 180 }, 160, 150, 12);
const WHITE: Triple = [93, 0, 0];

function bench(shot: Partial<Shot> = {}, light?: (x: number, y: number) => number): EncodedPicture {
  const tile = { lab: WHITE, cover: polygon(corners), ...(light && { light }) };
  return shoot({ things: [tile], backgroundLab: [50, 0, 0], ...shot });
}
const check = (picture: EncodedPicture) => {
  const found = checkLight(picture, corners);
  if (!found) throw new Error('nothing found');
  return found;
};

/** A light from the right, of another colour: it adds red in linear light towards the right side. */
function withWarmSide(picture: EncodedPicture, share: number): EncodedPicture {
  const rgba = Uint8Array.from(picture.rgba);
  // Codes to light and back by the exponent that sRGB comes near to: it is the same for all of them.
  for (let i = 0; i < rgba.length; i += 4) {
    const x = (i / 4) % picture.width;
    rgba[i] = Math.min(254, rgba[i]! * (1 + (share * x) / picture.width) ** (1 / 2.2));
  }
  return { ...picture, rgba };
}

describe('the light on the bench', () => {
  test('even light of one lamp on a grey ground', () => {
    const { gradient, colourShift, surround } = check(bench());
    expect(gradient).toBeLessThan(0.02);
    expect(colourShift).toBeLessThan(0.02);
    expect(surround.chroma).toBeLessThan(2);
    // L* 50 against a tile of L* 93: Y 18.42 / 82.97 = 0.222, which is L* 54.2 (CIE 15, by hand).
    expect(Math.abs(surround.lightness - 54.2)).toBeLessThan(1);
  });

  test('a lamp too near: the light changes across the tile by what it changes', () => {
    // Light e^(x/400): over the tile's own extent, 0.8 × the width of the turned tile.
    const { gradient } = check(bench({}, (x) => Math.exp((x - 200) / 400)));
    const xs = corners.map(({ x }) => x);
    const extent = 0.8 * (Math.max(...xs) - Math.min(...xs));
    expect(Math.abs(gradient - extent / 400)).toBeLessThan(0.1 * (extent / 400));
  });

  test('a second light of another colour from one side', () => {
    expect(check(withWarmSide(bench(), 0.5)).colourShift).toBeGreaterThan(0.08);
  });

  test('the lamp’s own colour is no second light, and does not colour the surround', () => {
    const { colourShift, surround } = check(bench({ gain: [0.8, 0.6, 0.4] }));
    expect(colourShift).toBeLessThan(0.02);
    expect(surround.chroma).toBeLessThan(2);
  });

  test('a coloured cloth under the piece', () => {
    expect(check(bench({ backgroundLab: [50, 10, 20] })).surround.chroma).toBeGreaterThan(15);
  });

  test('a tile that is clipped, or hardly there, tells nothing', () => {
    expect(checkLight(bench({ gain: [1.6, 1.6, 1.6] }), corners)).toBeUndefined();
    expect(checkLight(bench(), turnedRectangle({ x: 200, y: 180 }, 4, 4))).toBeUndefined();
  });
});
