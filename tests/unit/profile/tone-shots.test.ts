/** Shots as a person gathers them: what photographs say stands in the fields, and what is typed counts. */
import { describe, expect, test } from 'vitest';
import { toneCurve } from '../../../calibration-samples/render/isp.ts';
import type { PhotoExposure } from '../../../src/photo/exposure.ts';
import type { EncodedPicture } from '../../../src/reading/types.ts';
import {
  firstMarks,
  retyped,
  shotNow,
  shotOfPhoto,
  toneOutcome,
  type TypedShot,
  type Varies,
} from '../../../src/ui/state/tone-shots.ts';
import {
  exposureFields,
  typedAperture,
  typedIso,
  typedTime,
} from '../../../src/ui/state/typed-exposure.ts';
import { ends, stepPicture } from './step-picture.ts';

describe('fields', () => {
  test.each([
    ['1/60', 1 / 60],
    [' 1 / 125 s', 1 / 125],
    ['0,02', 0.02],
    ['2"', 2],
    ['0.5 s', 0.5],
  ])('the time %j', (text, seconds) => expect(typedTime(text)).toBeCloseTo(seconds, 12));
  test.each(['', '1/', '1/2/3', 'soon'])('%j is no time', (text) => {
    expect(typedTime(text)).toBeNaN();
  });
  test('aperture and speed with what cameras write before them', () => {
    expect([typedAperture('f/5.6'), typedAperture('5,6'), typedAperture('F 8')]).toEqual([
      5.6, 5.6, 8,
    ]);
    expect([typedIso('ISO 200'), typedIso('200')]).toEqual([200, 200]);
  });
  test.each<[PhotoExposure | undefined, string]>([
    [{ timeS: 1 / 60 }, '1/60'],
    [{ timeS: 8333 / 1e6 }, '1/120'],
    [{ timeS: 0.0123 }, '0.0123'],
    [{ timeS: 0.5 }, '0.5'],
    [{ timeS: 4 }, '4'],
    [{}, ''],
    [undefined, ''],
  ])('%j is written as %j, and read back', (said, text) => {
    const { typed } = exposureFields(said);
    expect(typed).toBe(text);
    if (said?.timeS) expect(typedTime(typed) / said.timeS).toBeCloseTo(1, 2);
  });
});

describe('shots of the tile', () => {
  const camera = (light: number) => toneCurve({ style: 's-curve', strength: 1 }, light);
  const at = ends(2)[1];
  const shot = (light: number, said: PhotoExposure | undefined, name = ''): TypedShot => ({
    name: name || `of ${String(light)}`,
    picture: stepPicture({ steps: [0.95, 0.95, 0.95], camera, light }),
    ...exposureFields(said),
    said: said ?? 'nothing',
  });
  const outcome = (shots: readonly TypedShot[], varies: Varies = 'exposure') =>
    toneOutcome({ subject: { kind: 'tile', at }, varies, values: '', as: 'lightness', shots });
  const lights = [0.9, 0.7, 0.5, 0.35, 0.25, 0.17, 0.1, 0.06];
  const swept = lights.map((light) => shot(light, { timeS: light / 33, fNumber: 8, iso: 100 }));

  test('photographs that say all need nothing typed', () => {
    const { result, warnings, changed } = outcome(swept);
    expect(result.ok ? result.fit.warnings : result.message).toEqual([]);
    expect(warnings).toEqual([]);
    expect(changed).toEqual({ fNumber: false, iso: false });
  });
  test('a photograph that says nothing is asked for by name', () => {
    const { result } = outcome([...swept, shot(0.8, undefined, 'scan.png')]);
    expect(result).toMatchObject({ message: 'Give the exposure time of scan.png.' });
  });
  test('what is typed counts, whatever the photograph says', () => {
    const wrong = { ...shot(0.42, { timeS: 0.9 }), typed: String(0.42 / 33) };
    const { result } = outcome([...swept, wrong]);
    expect(result.ok ? result.fit.warnings : result.message).toEqual([]);
  });
  test('a speed that changed is reckoned with, and asked for where it is not said', () => {
    const faster = [0.3, 0.6].map((light) =>
      shot(light, { timeS: light / 66, fNumber: 8, iso: 200 }),
    );
    const { result, warnings, changed } = outcome([...swept, ...faster]);
    expect(changed).toEqual({ fNumber: false, iso: true });
    expect(warnings).toEqual([expect.stringMatching(/^The ISO changed/)]);
    expect(result.ok ? result.fit.warnings : result.message).toEqual([]);
    const silent = shot(0.4, { timeS: 0.4 / 33 }, 'silent.jpg');
    expect(outcome([...swept, ...faster, silent]).result).toMatchObject({
      message: 'Give the ISO of silent.jpg.',
    });
  });
  test('a lamp that changed between shots of one exposure', () => {
    const again = shot(0.8, { timeS: 0.7 / 33, fNumber: 8, iso: 100 }, 'again');
    const { warnings } = outcome([...swept, again]);
    expect(warnings).toEqual([
      expect.stringMatching(/^of 0.7 and again have the same exposure, yet the tile is brighter/),
    ]);
  });
  test('distances with an exposure that was not held', () => {
    const apart = swept.map((one, i) => ({ ...one, typed: String(40 + 5 * i) }));
    expect(outcome(apart, 'distance').warnings).toEqual([
      expect.stringMatching(/differ in exposure: hold it/),
    ]);
  });
});

describe('what is typed beside a shot', () => {
  const picture: EncodedPicture = {
    width: 2,
    height: 1,
    rgba: new Uint8ClampedArray(8),
    maxCode: 255,
    frames: 1,
  };
  const photo = { picture, exposure: { timeS: 1 / 60, iso: 200 } };
  test('is what the photograph says, while exposures count', () => {
    const far = shotOfPhoto('far.jpg', photo, 'distance');
    expect(far.typed).toBe('');
    expect(retyped({ ...far, typed: '80' }, 'exposure')).toMatchObject({
      typed: '1/60',
      iso: '200',
    });
    expect(shotOfPhoto('near.jpg', photo, 'exposure').typed).toBe('1/60');
    expect(shotOfPhoto('scan.png', { picture }, 'exposure').said).toBe('nothing');
  });
  test('of a shot from the live picture does not outlast another kind', () => {
    const live = shotNow('Shot 1', picture, '0.02');
    expect(live.typed).toBe('0.02');
    expect(retyped(live, 'distance').typed).toBe('');
  });
  test('first marks: the middle of the tile wherever the shot is larger or smaller, else the middle', () => {
    const square = [
      [10, 10],
      [30, 10],
      [30, 30],
      [10, 30],
    ].map(([x, y]) => ({ x: x!, y: y! }));
    const shot = { width: 200, height: 100 };
    expect(firstMarks('tile', shot, square, 100)).toEqual([{ x: 40, y: 40 }]);
    expect(firstMarks('tile', shot, undefined, 100)).toEqual([{ x: 100, y: 50 }]);
    const [first, last] = firstMarks('card', shot, square, 100);
    expect([first!.y, last!.y]).toEqual([50, 50]);
    expect(first!.x).toBeLessThan(last!.x);
  });
});
