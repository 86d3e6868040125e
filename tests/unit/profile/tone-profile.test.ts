/**
 * The camera's tone response from the tile, from grey steps of known value and of unknown value. The
 * cameras are the renderer's (calibration-samples/render), which share nothing with the estimator; what
 * is wanted, within one hundredth of range, is the design's figure.
 */
import { describe, expect, it, test } from 'vitest';
import { toneCurve, type Tone } from '../../../calibration-samples/render/isp.ts';
import { lightOfEncoded, type ToneCurve } from '../../../src/reading/profile/profile.ts';
import { stepCodes } from '../../../src/reading/profile/step-card.ts';
import {
  statedValues,
  toneFromShots,
  type ToneShot,
} from '../../../src/reading/profile/tone-profile.ts';
import { ends, stepPicture, type StepShot } from './step-picture.ts';

const CAMERAS: readonly Tone[] = [
  { style: 'srgb', strength: 0 },
  { style: 's-curve', strength: 0.3 },
  { style: 's-curve', strength: 1 },
  { style: 'roll-off', strength: 0.3 },
  { style: 'roll-off', strength: 1 },
];
const cameraOf = (tone: Tone) => (light: number) => toneCurve(tone, light);
const STEPS = [0.9, 0.72, 0.56, 0.43, 0.32, 0.22, 0.14, 0.08, 0.045];

function card(shot: StepShot, steps = shot.steps.length): ToneShot {
  const [first, last] = ends(steps);
  const seen = stepCodes(stepPicture(shot), { kind: 'card', first, last, steps });
  if (!seen.ok) throw new Error(seen.message);
  return { places: seen.places, light: shot.light ?? 1 };
}
function tile(tone: Tone, light: number): ToneShot {
  const shot = { steps: [0.95, 0.95, 0.95], camera: cameraOf(tone), light };
  const seen = stepCodes(stepPicture(shot), { kind: 'tile', at: ends(2)[1] });
  if (!seen.ok) throw new Error(seen.message);
  return { places: seen.places, light };
}

/** Largest error of light over the light at `top`, from a thirtieth of it up. */
function error(curve: ToneCurve, tone: Tone, top: number): number {
  const scale = top / lightOfEncoded(curve, toneCurve(tone, top));
  let worst = 0;
  for (let light = top / 30; light <= top; light += 0.01) {
    const back = scale * lightOfEncoded(curve, toneCurve(tone, light));
    worst = Math.max(worst, Math.abs(back - light) / top);
  }
  return worst;
}

function fitted(shots: readonly ToneShot[], known?: readonly number[]) {
  const result = toneFromShots(shots, known);
  if (!result.ok) throw new Error(result.message);
  return result.fit;
}

describe.each(CAMERAS)('a camera of style $style at $strength', (tone) => {
  const camera = cameraOf(tone);
  it('is known within 1 % of range from twelve exposure times on the tile', () => {
    const shots = Array.from({ length: 12 }, (_, i) =>
      tile(tone, 0.95 * (0.2 + (0.8 * i) / 11) ** 2.2),
    );
    expect(error(fitted(shots).tone[1], tone, 0.9)).toBeLessThan(0.01);
  });
  it('is known within 1 % of range from ten distances of the lamp', () => {
    const cm = [40, 42, 45, 48, 52, 58, 66, 78, 100, 140];
    const shots = cm.map((d) => ({ ...tile(tone, 0.95 * (40 / d) ** 2), light: 1 / d ** 2 }));
    expect(error(fitted(shots).tone[0], tone, 0.9)).toBeLessThan(0.01);
  });
  it('is known within 1 % of range from nine steps of known value, either way round', () => {
    const turned = card({ steps: [...STEPS].reverse(), camera });
    const { tone: curves } = fitted([card({ steps: STEPS, camera }), turned], STEPS);
    expect(error(curves[2], tone, 0.9)).toBeLessThan(0.01);
  });
  it('is known within 1 % of range from nine steps of unknown value in five exposures', () => {
    const lights = [1, 0.9, 0.8, 0.65, 0.5];
    const shots = lights.map((light) => card({ steps: STEPS, camera, light }));
    const { tone: curves, warnings } = fitted(shots);
    expect(error(curves[1], tone, 0.9)).toBeLessThan(0.01);
    expect(warnings).toEqual([]);
  });
});

test('each channel has its own curve', () => {
  const camera = (light: number, k: number) => light ** (1 / (1.8 + 0.3 * k));
  const { tone } = fitted([card({ steps: STEPS, camera })], STEPS);
  // A power of 1.8, 2.1 and 2.4 by construction: half the code has 2^-γ of the light.
  tone.forEach((curve, k) => {
    const ratio = lightOfEncoded(curve, 0.4) / lightOfEncoded(curve, 0.8);
    expect(Math.log2(ratio)).toBeCloseTo(-(1.8 + 0.3 * k), 1);
  });
});

describe('what cannot serve is said in a line', () => {
  const camera = cameraOf({ style: 'srgb', strength: 0 });
  const seen = (shot: Partial<StepShot>, steps = 9) => {
    const picture = stepPicture({ steps: STEPS, camera, ...shot });
    const [first, last] = ends(9);
    const result = stepCodes(picture, { kind: 'card', first, last, steps });
    return result.ok ? 'ok' : result.message;
  };
  const swapped = [...STEPS];
  [swapped[3], swapped[4]] = [swapped[4]!, swapped[3]!];
  it('steps in the wrong order', () => {
    expect(seen({ steps: swapped })).toBe(
      'Step 5 is not darker than step 4: the steps must lie in order, and their number must be right.',
    );
  });
  it('a highlight on a step', () => expect(seen({ highlightOn: 4 })).toMatch(/^Step 5 is uneven/));
  it('marks that do not stand on the steps', () => {
    expect(seen({}, 17)).toMatch(/^Step \d+ is (uneven|not darker)/);
  });
  it('too few steps', () => expect(seen({}, 4)).toBe('A step card has 5 to 30 steps, not 4.'));
  it('a step off the picture', () => {
    const [first, last] = ends(9);
    const card = { kind: 'card', first, last: { ...last, x: last.x + 200 }, steps: 9 } as const;
    const result = stepCodes(stepPicture({ steps: STEPS, camera }), card);
    expect(result).toMatchObject({ ok: false, message: 'Step 8 is outside the picture.' });
  });
  const refused = (shots: readonly ToneShot[], known?: readonly number[]) => {
    const result = toneFromShots(shots, known);
    return result.ok ? 'ok' : result.message;
  };
  const shot = (light: number) => card({ steps: STEPS, camera, light });
  it('unknown steps in one light', () => {
    expect(refused([shot(1)])).toMatch(/two shots or more that differ in light/);
    expect(refused([shot(1), { ...shot(1), light: 1.5 }])).toMatch(/do not grow brighter/);
  });
  it('two shots nearly alike', () => {
    expect(refused([shot(1), shot(0.9)])).toMatch(/too much alike/);
  });
  it('shots with nothing between them', () => {
    // Five steps between 0.9 and 0.75, then none until a fifth of the light.
    const near = [0.9, 0.87, 0.83, 0.79, 0.75];
    const shots = [1, 0.8, 0.06].map((light) => card({ steps: near, camera, light }));
    const apart = [shots[0]!, shots[1]!].concat(
      card({ steps: [0.05, 0.045, 0.04, 0.036, 0.032], camera, light: 1 }),
    );
    expect(
      refused(
        apart.map((one, i) =>
          i === 2
            ? { ...one, places: [...Array<undefined>(5), ...one.places] }
            : { ...one, places: [...one.places, ...Array<undefined>(5)] },
        ),
      ),
    ).toMatch(/too far apart/);
  });
  it('a camera that brightens the dark shot by itself is noticed', () => {
    const shots = [1, 0.75, 0.5].map((light) => ({
      ...card({ steps: STEPS, camera, light: light === 0.5 ? 0.8 : light }),
      light,
    }));
    const result = toneFromShots(shots);
    expect(result.ok ? result.fit.warnings.join(' ') : result.message).toMatch(
      /do not follow one curve|do not grow brighter/,
    );
  });
  it('two shots say that a wrong ratio cannot be noticed', () => {
    expect(fitted([shot(1), shot(0.6)]).warnings.join(' ')).toMatch(/a third would tell/);
  });
});

describe('values of a step card as they are stated', () => {
  // CIE 15: L* 50 is Y 18.42 %. ISO 5-4: density 1 throws back a tenth.
  test.each([
    ['50 40 30 20 10', 'lightness', 0.1842],
    ['1,0; 1,2; 1,4; 1,6; 1,8', 'density', 0.1],
    ['18, 12, 9, 5, 3', 'reflectance', 0.18],
  ] as const)('%s as %s', (text, as, first) => {
    const result = statedValues(text, as, 5);
    if (!result.ok) throw new Error(result.message);
    expect(result.reflectance[0]).toBeCloseTo(first, 3);
    expect(result.reflectance).toHaveLength(5);
  });
  test.each([
    ['90 70 50 30', 'lightness', '4 values for 5 steps: give one for each step.'],
    ['90 70 fifty 30 10', 'lightness', 'The value of step 3, “fifty”, is no number.'],
    ['90 70 150 30 10', 'reflectance', /step 3, 150, is out of range/],
    ['90 70 75 30 10', 'lightness', /steps 2 and 3 are not in order/],
    ['0.1 0.5 1 2 5', 'density', /step 5, 5, is out of range/],
  ] as const)('%s as %s is refused by its step', (text, as, message) => {
    const result = statedValues(text, as, 5);
    expect(result.ok ? 'ok' : result.message).toMatch(message);
  });
});

describe('one curve for all channels, unless they say otherwise', () => {
  /** Codes by each channel's own function, with a tenth of a code of error that is the same each time. */
  const shotsOf = (channels: readonly ((light: number) => number)[]): ToneShot[] =>
    [1, 0.8, 0.6].map((light, s) => ({
      light,
      places: STEPS.map(
        (step, i) =>
          channels.map(
            (channel, k) => channel(step * light) + 0.0004 * Math.sin(7 * i + 3 * s + 2 * k),
          ) as unknown as readonly [number, number, number],
      ),
    }));
  const power = (exponent: number, gain: number) => (light: number) => (gain * light) ** exponent;
  const errorOf = (curve: ToneCurve, channel: (light: number) => number) =>
    [0.1, 0.2, 0.4, 0.6, 0.8].map((light) => {
      const scale = 0.9 / lightOfEncoded(curve, channel(0.9));
      return Math.abs(scale * lightOfEncoded(curve, channel(light)) - light) / 0.9;
    });

  it('channels of one curve and unlike gains share it', () => {
    const channels = [power(0.45, 0.9), power(0.45, 1), power(0.45, 0.7)];
    const { tone } = fitted(shotsOf(channels));
    expect(tone[1]).toEqual(tone[0]);
    expect(tone[2]).toEqual(tone[0]);
    channels.forEach((channel, k) => {
      expect(Math.max(...errorOf(tone[k]!, channel))).toBeLessThan(0.01);
    });
  });
  it('channels bent unlike each keep their own', () => {
    const channels = [power(0.45, 1), power(0.4, 1), power(0.52, 1)];
    const { tone } = fitted(shotsOf(channels));
    expect(tone[1]).not.toEqual(tone[0]);
    channels.forEach((channel, k) => {
      expect(Math.max(...errorOf(tone[k]!, channel))).toBeLessThan(0.01);
    });
  });
  it('a knee is found where it is, though few steps lie round it', () => {
    // Own formula: half the slope beyond a light of 0.5, then sRGB's exponent.
    const kneed = (light: number) => (light < 0.5 ? light : 0.5 + 0.5 * (light - 0.5)) ** (1 / 2.2);
    const { tone } = fitted(shotsOf([kneed, kneed, kneed]));
    expect(Math.max(...errorOf(tone[1], kneed))).toBeLessThan(0.01);
  });
});
