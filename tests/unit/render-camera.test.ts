/** The camera of the renderer: what it must do whatever its sensitivities. */
import { describe, expect, it } from 'vitest';
import { CAMERAS, type Camera } from '../../calibration-samples/render/cameras.ts';
import { Developer } from '../../calibration-samples/render/develop.ts';
import { differenceE00 } from '../../calibration-samples/render/difference.ts';
import {
  chromaBoost,
  colourMatrix,
  sensorRgb,
  TONE_STYLES,
  toneCurve,
} from '../../calibration-samples/render/isp.ts';
import { LAMPS, type Lamp } from '../../calibration-samples/render/lamps.ts';
import { inventGlaze } from '../../calibration-samples/render/pairs.ts';
import { mixed } from '../../calibration-samples/render/colourants.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import {
  labOfXyz,
  labUnder,
  spectrumOf,
  xyzOfLinearSrgb,
  type Triple,
} from '../../calibration-samples/render/spectra.ts';
import { D65 } from '../../src/colour/illuminants.ts';
import { OBSERVER_1931 } from '../../src/colour/observers.ts';

const DAYLIGHT: Lamp = { id: 'D65', part: 'both', power: D65.power };

/** Sensitivities that are the colour-matching functions themselves, and no faults. */
const OBSERVER_CAMERA: Camera = {
  id: 'observer',
  part: 'tune',
  sensitivity: [OBSERVER_1931.xBar, OBSERVER_1931.yBar, OBSERVER_1931.zBar],
  matrixFor: 'lamp',
  fullWell: 1e5,
  readNoise: 0,
  noiseSpread: 0,
  blur: 0,
  sharpening: 0,
  balanceError: [0, 0],
  castLeft: 0,
  flare: 0,
};
const SRGB = { style: 'srgb', strength: 0 } as const;

/** IEC 61966-2-1 decoding. */
const decoded = (code: number) => {
  const v = code / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
};

describe('a camera that sees as the observer does', () => {
  const white = decoded(255 * 0.8);
  const developer = new Developer(OBSERVER_CAMERA, DAYLIGHT, SRGB, [1, 1, 1], 0.8, new Random(1));
  const read = (surface: Float64Array): Triple => {
    const linear = developer
      .encoded(sensorRgb(OBSERVER_CAMERA, DAYLIGHT.power, surface))
      .map((code) => decoded(code) / white);
    return labOfXyz(xyzOfLinearSrgb(linear as unknown as Triple));
  };

  it('reads the perfect diffuser as white', () => {
    expect(differenceE00(read(spectrumOf(() => 1)), [100, 0, 0])).toBeLessThan(0.01);
  });

  it('reads glazes within sRGB as their true colours', () => {
    const random = new Random(4);
    let checked = 0;
    for (let i = 0; i < 40; i++) {
      const surface = mixed(inventGlaze('tune', D65.power, [20, 95], random).mix);
      const codes = developer.encoded(sensorRgb(OBSERVER_CAMERA, DAYLIGHT.power, surface));
      if (Math.min(...codes) < 1) continue;
      checked++;
      expect(differenceE00(read(surface), labUnder(D65.power, surface))).toBeLessThan(0.02);
    }
    expect(checked).toBeGreaterThan(20);
  });
});

describe('every invented camera', () => {
  it('keeps white white through its matrix, under every lamp', () => {
    for (const camera of CAMERAS) {
      for (const { power } of LAMPS) {
        const rgb = sensorRgb(
          camera,
          power,
          spectrumOf(() => 1),
        );
        rgb.forEach((v) => expect(v).toBeCloseTo(1, 12));
        for (const [a, b, c] of colourMatrix(camera, power)) expect(a + b + c).toBeCloseTo(1, 12);
      }
    }
  });

  it('is off by what cameras are off by: 0.3–4 ΔE₀₀ over glazes (common practice, no source)', () => {
    const random = new Random(8);
    const daylight = LAMPS.find(({ id }) => id === 'daylight-5000')!;
    const glazes = Array.from({ length: 30 }, () =>
      mixed(inventGlaze('tune', daylight.power, [20, 95], random).mix),
    );
    for (const camera of CAMERAS) {
      const matrix = colourMatrix(camera, daylight.power);
      const errors = glazes.map((surface) => {
        const s = sensorRgb(camera, daylight.power, surface);
        const linear = matrix.map((m) => m[0] * s[0] + m[1] * s[1] + m[2] * s[2]);
        return differenceE00(
          labUnder(daylight.power, surface),
          labOfXyz(xyzOfLinearSrgb(linear as unknown as Triple)),
        );
      });
      const mean = errors.reduce((sum, v) => sum + v, 0) / errors.length;
      expect(mean, camera.id).toBeGreaterThan(0.3);
      expect(mean, camera.id).toBeLessThan(4);
    }
  });
});

describe('tone curves', () => {
  it('sRGB: 18 % grey is code 118, half is 188 (IEC 61966-2-1)', () => {
    expect(Math.round(255 * toneCurve(SRGB, 0.18))).toBe(118);
    expect(Math.round(255 * toneCurve(SRGB, 0.5))).toBe(188);
  });

  it.each(TONE_STYLES)('%s rises everywhere and keeps black', (style) => {
    const tone = { style, strength: 1 };
    expect(toneCurve(tone, 0)).toBe(0);
    for (let x = 0; x < 1; x += 0.01) {
      expect(toneCurve(tone, x + 0.01)).toBeGreaterThan(toneCurve(tone, x));
    }
  });

  it('an S-curve is steeper in the middle and flatter at the ends than sRGB', () => {
    const slope = (style: 's-curve' | 'srgb', x: number) =>
      toneCurve({ style, strength: 1 }, x + 0.001) - toneCurve({ style, strength: 1 }, x);
    expect(slope('s-curve', 0.2)).toBeGreaterThan(slope('srgb', 0.2));
    expect(slope('s-curve', 0.9)).toBeLessThan(slope('srgb', 0.9));
    expect(chromaBoost({ style: 's-chroma', strength: 0.5 })).toBeGreaterThan(1);
    expect(chromaBoost({ style: 's-curve', strength: 0.5 })).toBe(1);
  });
});

describe('noise', () => {
  /** A flat field at a share of full range, developed and decoded: mean and variance, green. */
  const field = (level: number, fullWell: number, readNoise = 0) => {
    const camera = { ...OBSERVER_CAMERA, fullWell, readNoise };
    const developer = new Developer(camera, DAYLIGHT, SRGB, [1, 1, 1], 0.999, new Random(3));
    const [width, height] = [240, 200];
    const rgb = new Float32Array(3 * width * height).fill(level);
    const rgba = developer.frame(
      {
        width,
        height,
        rgb,
        bodies: new Int8Array(0),
        dabCore: new Uint32Array(0),
        tileHighlightShare: 0,
        dab: {
          x: 0,
          y: 0,
          radius: 0,
          highlightShare: 0,
          mirrorShare: 0,
          tintShare: 0,
          ringTintShare: 0,
          thickness: 0,
        },
      },
      new Random(9),
    );
    const values = Array.from({ length: width * height }, (_, i) => decoded(rgba[4 * i + 1]!));
    const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
    const variance = values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1);
    return { mean, variance };
  };

  it('leaves the mean where it was', () => {
    const noisy = field(0.4, 2000);
    const quiet = field(0.4, 1e9);
    expect(noisy.mean / quiet.mean).toBeCloseTo(1, 2);
  });

  it('has a variance that grows with the light (Poisson: variance = mean)', () => {
    const low = field(0.2, 1000);
    const high = field(0.6, 1000);
    expect(high.variance / low.variance).toBeGreaterThan(2.6);
    expect(high.variance / low.variance).toBeLessThan(3.4);
  });

  it('is halved in variance by twice the electrons', () => {
    const few = field(0.4, 800);
    const many = field(0.4, 1600);
    expect(few.variance / many.variance).toBeGreaterThan(1.8);
    expect(few.variance / many.variance).toBeLessThan(2.2);
  });
});
