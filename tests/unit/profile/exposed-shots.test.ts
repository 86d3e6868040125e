/**
 * Tone response from exposures as cameras name them. The cameras are the renderer's, which share nothing
 * with the estimator; within one hundredth of range is the design's figure.
 */
import { describe, expect, it, test } from 'vitest';
import { toneCurve, type Tone } from '../../../calibration-samples/render/isp.ts';
import {
  lightByMarks,
  lightOfExposure,
  toneFromExposures,
  type ExposedShot,
  type ShotExposure,
} from '../../../src/reading/profile/exposed-shots.ts';
import {
  changedIn,
  changedWarning,
  heldWarning,
  unlikeWarning,
} from '../../../src/reading/profile/exposure-check.ts';
import { lightOfEncoded } from '../../../src/reading/profile/profile.ts';

describe('marks and what they stand for', () => {
  // CIPA DC-008, annex C, from memory: time values Tv = −log2 of the time; 1/15, 1/30, 1/60, 1/125 s are 4 to 7.
  test('whole stops', () => {
    const times = [1 / 15, 1 / 30, 1 / 60, 1 / 125, 1 / 1000, 8, 15, 30];
    for (const by of ['thirds', 'halves'] as const) {
      expect(times.map((timeS) => lightByMarks({ timeS }, by))).toEqual(
        [4, 5, 6, 7, 10, -3, -4, -5].map((tv) => 2 ** -tv),
      );
    }
  });
  // Nominal and precise settings, scantips.com/lights/fstop2.html: 1/13 is 1/12.7, 1/25 1/25.4, 0.3 0.315 s.
  test.each([
    [1 / 13, 'thirds', 12.7],
    [1 / 25, 'thirds', 25.4],
    [1 / 20, 'thirds', 20.16],
    [0.3, 'thirds', 1 / 0.315],
    [1 / 160, 'thirds', 161.3],
    [1 / 20, 'halves', 22.6],
    [1 / 45, 'halves', 45.25],
    [1 / 350, 'halves', 362],
  ] as const)('%f s by %s lasts 1/%f s', (timeS, by, precise) => {
    expect(1 / lightByMarks({ timeS }, by) / precise).toBeCloseTo(1, 2);
  });
  // The same: f/5.6 is f/5.657, f/11 f/11.31, f/3.5 f/3.564, ISO 125 is 126, ISO 320 317.5.
  test('apertures and speeds', () => {
    const shots = [
      { timeS: 1, fNumber: 8, iso: 100 },
      { timeS: 1, fNumber: 5.6, iso: 125 },
      { timeS: 1, fNumber: 3.5, iso: 320 },
      { timeS: 1, fNumber: 11, iso: 100 },
    ];
    const wanted = [1 / 64, 1.26 / 32, 3.175 / 12.7, 1 / 128];
    shots.forEach((shot, i) => expect(lightByMarks(shot) / wanted[i]!).toBeCloseTo(1, 3));
    expect(lightOfExposure(shots[1]!)).toBeCloseTo(1.25 / 5.6 ** 2, 12);
  });
  test('what is no mark is taken as it stands', () => {
    const shot = { timeS: 1 / 121, fNumber: 1.78, iso: 58 };
    expect(lightByMarks(shot)).toBe(lightOfExposure(shot));
  });
});

const CAMERAS: readonly Tone[] = [
  { style: 'srgb', strength: 0 },
  { style: 's-curve', strength: 1 },
  { style: 'roll-off', strength: 0.3 },
];
/** Marks from 1/8 s on; the light behind the ith is 2^(−3 − i/parts). Common practice. */
const THIRDS = [8, 10, 13, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 160, 200, 250];
const HALVES = [8, 10, 15, 20, 30, 45, 60, 90, 125, 180, 250];

function sweep(tone: Tone, marks: readonly number[], parts?: number): ExposedShot[] {
  return marks.flatMap((mark, i) => {
    const light = 0.9 * 8 * (parts === undefined ? 1 / mark : 2 ** (-3 - i / parts));
    // As the mean of many pixels has it: to a tenth of a code.
    const code = Math.round(2550 * toneCurve(tone, light)) / 2550;
    const shot = { places: [[code, code, code] as const], exposure: { timeS: 1 / mark } };
    return code > 0.06 ? [shot] : [];
  });
}
/** Largest error of light over the brightest, from a tenth of it up. */
function errorOf(shots: readonly ExposedShot[], tone: Tone) {
  const result = toneFromExposures(shots);
  if (!result.ok) throw new Error(result.message);
  const curve = result.fit.tone[1];
  const scale = 0.9 / lightOfEncoded(curve, toneCurve(tone, 0.9));
  let worst = 0;
  for (let light = 0.09; light <= 0.9; light += 0.01) {
    const back = scale * lightOfEncoded(curve, toneCurve(tone, light));
    worst = Math.max(worst, Math.abs(back - light) / 0.9);
  }
  return { worst, byMarks: result.byMarks ?? false, warnings: result.fit.warnings };
}

describe.each(CAMERAS)('a camera of style $style at $strength', (tone) => {
  it.each([
    { times: 'rounded, by thirds of a stop', shots: sweep(tone, THIRDS, 3), rounded: true },
    { times: 'rounded, by halves', shots: sweep(tone, HALVES, 2), rounded: true },
    { times: 'exact', shots: sweep(tone, THIRDS), rounded: false },
  ])('whose times are $times is known within 1 % of range', ({ shots, rounded }) => {
    const { worst, byMarks, warnings } = errorOf(shots, tone);
    expect(worst).toBeLessThan(0.01);
    expect(byMarks).toBe(rounded);
    expect(warnings).toEqual([]);
  });
  it('and so with one time among them that was typed', () => {
    const shots = sweep(tone, THIRDS, 3);
    const typed = shots.map((shot, i) =>
      i === 3 ? { ...shot, exposure: { timeS: 1 / 16 } } : shot,
    );
    expect(errorOf(typed, tone)).toMatchObject({ byMarks: true });
    expect(errorOf(typed, tone).worst).toBeLessThan(0.01);
  });
});

test('what whole stops leave open is said', () => {
  // From 1/30 to 1/60 s is as wide either way, from 1/60 to 1/125 s by a twentieth, and nothing smooth tells.
  const shots = [30, 60, 125, 250, 500, 1000].map((mark, stop) => {
    const code = toneCurve(CAMERAS[0]!, 0.85 * 2 ** -stop);
    return { places: [[code, code, code] as const], exposure: { timeS: 1 / mark } };
  });
  const result = toneFromExposures(shots);
  expect(result.ok ? result.fit.warnings.join(' ') : result.message).toMatch(
    /add shots a third of a stop apart/,
  );
});

describe('what the exposures say against the shots', () => {
  const shot = (name: string, exposure: ShotExposure, code: number) => ({
    name,
    exposure,
    places: [[code, code, code] as const],
  });
  test('the same exposure, another code: the pair that differs most, the brighter one last', () => {
    const line = unlikeWarning(
      [
        shot('a', { timeS: 0.01 }, 0.5),
        shot('b', { timeS: 0.02 }, 0.7),
        shot('c', { timeS: 0.02 }, 0.66),
        shot('d', { timeS: 0.01 }, 0.58),
      ],
      'the tile',
    );
    expect(line).toEqual([
      'a and d have the same exposure, yet the tile is brighter in d: the lamp changed, or the camera brightened it by itself.',
    ]);
  });
  test('twice the time at half the speed is the same exposure', () => {
    const shots = [
      shot('a', { timeS: 0.01, iso: 200 }, 0.5),
      shot('b', { timeS: 0.02, iso: 100 }, 0.53),
    ];
    expect(unlikeWarning(shots, 'the card')).toHaveLength(1);
  });
  test('within noise, or unusable in one, nothing is said', () => {
    expect(
      unlikeWarning(
        [shot('a', { timeS: 0.01 }, 0.5), shot('b', { timeS: 0.01 }, 0.505)],
        'the tile',
      ),
    ).toEqual([]);
    const clipped = { name: 'b', exposure: { timeS: 0.01 }, places: [undefined] };
    expect(unlikeWarning([shot('a', { timeS: 0.01 }, 0.5), clipped], 'the tile')).toEqual([]);
  });
  test('what changed beside the time', () => {
    const changed = changedIn([{ fNumber: 4, iso: 100 }, undefined, { fNumber: 5.6, iso: 100 }]);
    expect(changed).toEqual({ fNumber: true, iso: false });
    expect(changedWarning(changed)).toEqual([expect.stringMatching(/^The aperture changed/)]);
    expect(changedWarning({ fNumber: true, iso: true })).toEqual([
      expect.stringMatching(/^Aperture and ISO changed/),
    ]);
    expect(changedWarning(changedIn([{ iso: 100 }, {}, { iso: 100 }]))).toEqual([]);
  });
  test('an exposure that should have been held', () => {
    const said = { timeS: 0.01, fNumber: 4, iso: 100 };
    expect(heldWarning([said, undefined, said])).toEqual([]);
    expect(heldWarning([said, { ...said, timeS: 0.02, iso: 50 }])).toEqual([]);
    expect(heldWarning([said, { ...said, fNumber: 5.6 }])).toHaveLength(1);
    // What only one of them says does not count.
    expect(heldWarning([said, { timeS: 0.01 }])).toEqual([]);
    expect(heldWarning([])).toEqual([]);
  });
});
