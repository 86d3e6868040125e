import { describe, expect, it } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import { encodedFromLinear } from '../../src/colour/srgb.ts';
import { DriftWatch, driftInWords } from '../../src/reading/drift.ts';
import {
  evennessOf,
  FLICKERS,
  flickerOf,
  illuminanceOf,
  lampColour,
  tileLight,
} from '../../src/reading/lamp-check.ts';
import type { EncodedPicture } from '../../src/reading/types.ts';

/** A picture of an even card, light as given at each pixel, 8 bits sRGB. */
function picture(
  light: (x: number, y: number) => readonly [number, number, number],
): EncodedPicture {
  const [width, height] = [240, 160];
  const rgba = new Uint8ClampedArray(width * height * 4);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      light(x, y).forEach((v, k) => (rgba[4 * (y * width + x) + k] = 255 * encodedFromLinear(v)));
      rgba[4 * (y * width + x) + 3] = 255;
    }
  }
  return { width, height, rgba, maxCode: 255, frames: 1 };
}
const TILE = [
  { x: 40, y: 20 },
  { x: 200, y: 20 },
  { x: 200, y: 140 },
  { x: 40, y: 140 },
];
const WHITE = { lab: labD65(100, 0, 0), standardUncertainty: [0, 0, 0] as const };

describe('the lamp by the tile', () => {
  it('equal channels are the white of sRGB: D65, 6504 K (IEC 61966-2-1, CIE 15)', () => {
    const { x, y, kelvin } = lampColour([0.5, 0.5, 0.5], WHITE);
    expect(x).toBeCloseTo(0.3127, 4);
    expect(y).toBeCloseTo(0.329, 4);
    expect(Math.abs(kelvin! - 6504)).toBeLessThan(4);
  });

  it('illuminant A as sRGB encodes it is 2856 K', () => {
    // x, y of A (CIE 15:2004 table T.3) by the sRGB matrix of IEC 61966-2-1, worked out apart.
    const [X, Y, Z] = [0.44758 / 0.40745, 1, (1 - 0.44758 - 0.40745) / 0.40745];
    const linear = [
      3.2406 * X - 1.5372 * Y - 0.4986 * Z,
      -0.9689 * X + 1.8758 * Y + 0.0415 * Z,
      0.0557 * X - 0.204 * Y + 1.057 * Z,
    ].map((v) => 0.5 * v) as [number, number, number];
    expect(Math.abs(lampColour(linear, WHITE).kelvin! - 2856)).toBeLessThan(6);
    // A tile that is a little yellow itself does not make the lamp yellower.
    const cream = { ...WHITE, lab: labD65(92, -1, 6) };
    const through = lampColour([0.6, 0.6, 0.6], cream);
    expect(through.kelvin).toBeGreaterThan(6900);
  });

  it('reads the tile as it is, and nothing where it is clipped', () => {
    const light = tileLight(
      picture(() => [0.7, 0.5, 0.3]),
      TILE,
    )!;
    [0.7, 0.5, 0.3].forEach((v, k) => expect(Math.abs(light[k]! / v - 1)).toBeLessThan(0.01));
    expect(
      tileLight(
        picture(() => [1, 1, 1]),
        TILE,
      ),
    ).toBeUndefined();
  });
});

describe('flicker', () => {
  const even = picture(() => [0.6, 0.6, 0.6]);
  const frames = (by: number) =>
    Array.from({ length: 12 }, (_, i): [number, number, number] => {
      const light = 0.6 * (1 + by * Math.SQRT2 * Math.sin(2.1 * i + 0.4));
      return [light, light, light];
    });

  it('a lamp that burns steadily does not, one that swings by 5 % does', () => {
    const steady = flickerOf(frames(0), even, TILE)!;
    expect(steady.frameToFrame).toBeLessThan(FLICKERS.frameToFrame / 10);
    expect(steady.banding).toBeLessThan(FLICKERS.banding);
    const swings = flickerOf(frames(0.05), even, TILE)!;
    expect(swings.frameToFrame).toBeGreaterThan(FLICKERS.frameToFrame);
  });

  it('bands of ±4 % are found at about their height, across a slope of light', () => {
    const banded = picture((x, y) => {
      const v = 0.5 * (1 + 0.001 * x) * (1 + 0.04 * Math.sin((2 * Math.PI * y) / 20));
      return [v, v, v];
    });
    const { banding } = flickerOf(frames(0), banded, TILE)!;
    expect(banding).toBeGreaterThan(0.03);
    expect(banding).toBeLessThan(0.05);
    const sloped = picture((x, y) => {
      const v = 0.4 * (1 + 0.002 * x + 0.001 * y);
      return [v, v, v];
    });
    expect(flickerOf(frames(0), sloped, TILE)!.banding).toBeLessThan(FLICKERS.banding);
  });

  it('says nothing of too few frames', () => {
    expect(flickerOf(frames(0).slice(0, 3), even, TILE)).toBeUndefined();
  });
});

describe('evenness over the field', () => {
  it('is one where the card is even, and follows a falling light', () => {
    const { share } = evennessOf(picture(() => [0.5, 0.5, 0.5]));
    share.forEach((v) => expect(Math.abs(v - 1)).toBeLessThan(1e-3));
    // The inverse square of the distance: a lamp 300 px off to the left, as light falls in truth.
    const falling = (x: number) => 0.8 * (300 / (300 + x)) ** 2;
    const map = evennessOf(picture((x) => [falling(x), falling(x), falling(x)]));
    const middle = (falling(100) + falling(140)) / 2;
    expect(Math.abs(map.share[0]! - falling(20) / middle)).toBeLessThan(0.03);
    expect(Math.abs(map.share[5]! - falling(220) / middle)).toBeLessThan(0.03);
    expect(Math.max(...map.colourShift)).toBeLessThan(0.01);
  });

  it('sees a second light of another colour', () => {
    const map = evennessOf(picture((x) => [0.5, 0.5, 0.5 * (1 + (0.1 * x) / 240)]));
    expect(map.colourShift[5]).toBeGreaterThan(0.03);
  });
});

describe('illuminance from the exposure', () => {
  it('full sun: f/16 at one over the speed, a white of 0.9 near full range, about 100 000 lx', () => {
    // The exposure rule "sunny 16" and the sun's 100 000 lx: common practice, no source.
    const lux = illuminanceOf({ seconds: 1 / 100, iso: 100, fNumber: 16 }, 0.93, 0.9);
    expect(lux).toBeGreaterThan(70_000);
    expect(lux).toBeLessThan(140_000);
  });
  it('half the light, twice the time: the same picture, half the illuminance', () => {
    const at = (seconds: number) => illuminanceOf({ seconds, iso: 100 }, 0.6, 0.8);
    expect(at(1 / 50) / at(1 / 100)).toBeCloseTo(0.5, 12);
  });
});

describe('the light of a session against its beginning', () => {
  const watch = (light: (minute: number) => readonly [number, number, number], minutes: number) => {
    const drift = new DriftWatch();
    for (let ms = 0; ms <= minutes * 60_000; ms += 500)
      drift.add({ ms, light: light(ms / 60_000) });
    return drift.drift;
  };
  const noise = (minute: number) => 0.01 * Math.sin(7919 * minute);

  it('is steady while only noise moves it', () => {
    const drift = watch((m) => [noise(m), noise(m + 3) / 5, noise(m + 5) / 5], 60);
    expect(drift.kind).toBe('steady');
    expect(driftInWords(drift)).toBe('');
  });

  it('a lamp that loses a fifth in an hour drifts, and when it began to tell is known', () => {
    const drift = watch((m) => [Math.log(1 - (0.2 * m) / 60) + noise(m), 0, 0], 60);
    expect(drift.kind).toBe('drift');
    expect(drift.light).toBeCloseTo(-0.2, 1);
    // A tenth is lost after half an hour.
    expect(drift.since! / 60_000).toBeGreaterThan(26);
    expect(drift.since! / 60_000).toBeLessThan(34);
    expect(driftInWords(drift)).toBe(
      'The light on the tile has fallen by 20 % little by little since the session began.',
    );
  });

  it('a second lamp switched on is a step, and warmer', () => {
    const drift = watch((m) => (m < 12 ? [0, 0, 0] : [0.3, 0.06, -0.08]), 30);
    expect(drift.kind).toBe('step');
    expect(drift.since! / 60_000).toBeCloseTo(12, 0);
    expect(driftInWords(drift)).toMatch(/risen by 35 % and turned warmer at one stroke/);
  });

  it('a hand over the tile for a moment is forgotten', () => {
    const drift = watch((m) => (m > 10 && m < 10.2 ? [-1, 0, 0] : [0, 0, 0]), 20);
    expect(drift.kind).toBe('steady');
  });

  it('begins anew when told to', () => {
    const drift = new DriftWatch();
    for (let ms = 0; ms < 60_000; ms += 500) drift.add({ ms, light: [ms < 30_000 ? 0 : -1, 0, 0] });
    expect(drift.drift.kind).toBe('step');
    drift.restart();
    expect(drift.drift.kind).toBe('steady');
  });
});
