import { describe, expect, test } from 'vitest';
import { encodedFromLinear, linearFromEncoded } from '../../src/colour/srgb.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { PatchAverage } from '../../src/reading/patch-average.ts';
import { cellsOf, shiftBetween } from '../../src/reading/registration.ts';
import { FrameAverager } from '../../src/reading/temporal.ts';

const WIDTH = 288;
const HEIGHT = 176;
const regions = {
  tile: [
    { x: 20, y: 40 },
    { x: 100, y: 40 },
    { x: 100, y: 120 },
    { x: 20, y: 120 },
  ],
  glaze: { x: 240, y: 70, radius: 8 },
  dab: { x: 205, y: 90, radius: 12 },
  dabOn: 'piece' as const,
};

interface Bench {
  readonly shift?: { x: number; y: number };
  /** Factor on all light. */
  readonly level?: number;
  /** Factor on red and blue light. */
  readonly warmth?: number;
  /** Factor on the dab's light. */
  readonly dab?: number;
  readonly noise?: number;
  /** A hand over the piece. */
  readonly hand?: boolean;
}

/** A bench of a tile and a piece with a dab, soft edges, and seeded noise. */
class Camera {
  #seed = 7;

  frame({
    shift = { x: 0, y: 0 },
    level = 1,
    warmth = 1,
    dab = 0.9,
    noise = 2,
    hand = false,
  }: Bench): Uint8Array {
    const rgba = new Uint8Array(WIDTH * HEIGHT * 4);
    // An edge about two pixels wide.
    const soft = (distance: number) => Math.max(0, Math.min(1, 0.5 - distance / 2));
    for (let py = 0; py < HEIGHT; py++) {
      for (let px = 0; px < WIDTH; px++) {
        const x = px + 0.5 - shift.x;
        const y = py + 0.5 - shift.y;
        const onTile = soft(Math.max(20 - x, x - 100, 40 - y, y - 120));
        const onPiece = soft(Math.hypot(x - 215, y - 88) - 68);
        const onDab = soft(Math.hypot(x - 205, y - 90) - 12);
        const light = [0.05, 0.05, 0.05].map((ground, k) => {
          const glaze = [0.25, 0.35, 0.4][k]! * (1 - onDab * (1 - dab));
          const colour = ground + onTile * (0.7 - ground) + onPiece * (glaze - ground);
          const tint = k === 0 ? warmth : k === 2 ? 1 / warmth : 1;
          return (hand && x > 175 ? 0.2 : colour) * level * tint;
        });
        const at = (py * WIDTH + px) * 4;
        for (let k = 0; k < 3; k++) {
          const code = 255 * encodedFromLinear(light[k]!) + noise * this.#gaussian();
          rgba[at + k] = Math.max(0, Math.min(255, Math.round(code)));
        }
        rgba[at + 3] = 255;
      }
    }
    return rgba;
  }

  /** Standard deviation 1: a sum of three uniforms, each of variance 1/12. */
  #gaussian(): number {
    let sum = -1.5;
    for (let i = 0; i < 3; i++) {
      this.#seed = (Math.imul(this.#seed, 1664525) + 1013904223) >>> 0;
      sum += this.#seed / 2 ** 32;
    }
    return 2 * sum;
  }
}

const show = (averager: FrameAverager, rgba: Uint8Array) =>
  averager.add(averager.rects.map(({ x, y }) => ({ rgba, first: y * WIDTH + x, stride: WIDTH })));

const averager = () => new FrameAverager(nodeOpenCv(), WIDTH, HEIGHT, regions, false);

describe('frames averaged while nothing changes', () => {
  test('noise falls with the root of the number of frames (law of large numbers)', () => {
    const camera = new Camera();
    const live = averager();
    const frames = 25;
    for (let i = 0; i < frames; i++) expect(show(live, camera.frame({})).frames).toBe(i + 1);
    const picture = new Uint16Array(WIDTH * HEIGHT * 4);
    live.write(picture, WIDTH);
    const clean = new Camera().frame({ noise: 0 });
    let squares = 0;
    let pixels = 0;
    for (let y = 60; y < 110; y++) {
      for (let x = 40; x < 80; x++) {
        const at = (y * WIDTH + x) * 4 + 1;
        squares += (picture[at]! / 257 - clean[at]!) ** 2;
        pixels += 1;
      }
    }
    // The scene is flat here and its own code rounded, by at most half a code.
    const expected = Math.sqrt((2 ** 2 + 1 / 12) / frames);
    expect(Math.sqrt(squares / pixels)).toBeGreaterThan(0.7 * expected);
    expect(Math.sqrt(squares / pixels)).toBeLessThan(0.5 + 1.2 * expected);
  });

  test('the mean is of light, not of codes (IEC 61966-2-1 both ways)', () => {
    const average = new PatchAverage(1, 1);
    for (const code of [80, 200]) {
      average.add({ rgba: Uint8Array.of(code, code, code, 255), first: 0, stride: 1 });
    }
    const picture = new Uint16Array(4);
    average.write(picture, 1, 0, 0);
    const light = (linearFromEncoded(80 / 255) + linearFromEncoded(200 / 255)) / 2;
    expect(picture[0]! / 65535).toBeCloseTo(encodedFromLinear(light), 4);
    expect(picture[3]).toBe(65535);
  });

  test('a pixel clipped in many frames is clipped in the mean', () => {
    const average = new PatchAverage(2, 1);
    for (let i = 0; i < 100; i++) {
      const flicker = i % 4 === 0 ? 255 : 240;
      average.add({
        rgba: Uint8Array.of(flicker, 90, 90, 255, 240, 90, 90, 255),
        first: 0,
        stride: 2,
      });
    }
    const picture = new Uint16Array(8);
    average.write(picture, 2, 0, 0);
    expect(picture[0]).toBe(65535);
    expect(picture[1]! / 257).toBeCloseTo(90, 1);
    expect(picture[4]! / 257).toBeCloseTo(240, 1);
  });

  test('old frames fade: after as many again the mean is of the new', () => {
    const average = new PatchAverage(1, 1);
    const add = (code: number) =>
      average.add({ rgba: Uint8Array.of(code, code, code, 255), first: 0, stride: 1 });
    for (let i = 0; i < 64; i++) add(100);
    for (let i = 0; i < 640; i++) add(110);
    const picture = new Uint16Array(4);
    average.write(picture, 1, 0, 0);
    expect(picture[0]! / 257).toBeCloseTo(110, 1);
  });

  test('the average settles', () => {
    const camera = new Camera();
    const live = averager();
    let state = live.state;
    for (let i = 0; i < 40; i++) state = show(live, camera.frame({}));
    expect(state).toMatchObject({
      average: 1,
      frames: 40,
      settled: 1,
      moving: false,
      lampChanged: false,
    });
    // The dab as it was drawn, against the tile; 0.02 keeps a black one from minus infinity.
    [0.25, 0.35, 0.4].forEach((glaze, k) => {
      expect(state.dabLight[k]).toBeCloseTo(Math.log((0.9 * glaze) / 0.7 + 0.02), 2);
    });
  });
});

describe('what moves or changes starts the average anew', () => {
  test('a hand over the piece: moving, and still again when it has gone', () => {
    const camera = new Camera();
    const live = averager();
    for (let i = 0; i < 10; i++) show(live, camera.frame({}));
    show(live, camera.frame({ hand: true }));
    expect(show(live, camera.frame({ hand: true }))).toMatchObject({ moving: true, frames: 0 });
    const states = Array.from({ length: 8 }, () => show(live, camera.frame({})));
    expect(states[0]!.moving).toBe(true);
    expect(states.at(-1)).toMatchObject({ moving: false, lampChanged: false });
    expect(states[states.length - 1]!.frames).toBeLessThan(8);
  });

  test('one odd frame is left out and costs nothing', () => {
    const camera = new Camera();
    const live = averager();
    for (let i = 0; i < 10; i++) show(live, camera.frame({}));
    expect(show(live, camera.frame({ hand: true }))).toMatchObject({ moving: false, frames: 10 });
    expect(show(live, camera.frame({}))).toMatchObject({ moving: false, frames: 11 });
  });

  test('a lamp of another colour: lamp changed, not moved; trusted again after a while', () => {
    const camera = new Camera();
    const live = averager();
    for (let i = 0; i < 10; i++) show(live, camera.frame({}));
    const states = Array.from({ length: 16 }, () => show(live, camera.frame({ warmth: 1.03 })));
    expect(states.some((s) => s.lampChanged)).toBe(true);
    expect(states.every((s) => !s.moving)).toBe(true);
    expect(states.at(-1)).toMatchObject({ lampChanged: false });
    expect(states[states.length - 1]!.frames).toBeLessThan(16);
  });

  test('a lamp that flickers by a twentieth is no changed lamp once it is known', () => {
    const camera = new Camera();
    const live = averager();
    let state = live.state;
    for (let i = 0; i < 40; i++) {
      state = show(live, camera.frame({ level: 1 + 0.05 * Math.sin(2.4 * i) }));
    }
    expect(state).toMatchObject({ moving: false, lampChanged: false });
    expect(state.frames).toBeGreaterThan(20);
  });

  test('another dab, 2 % lighter, without any movement: the old one is not averaged in', () => {
    const camera = new Camera();
    const live = averager();
    for (let i = 0; i < 20; i++) show(live, camera.frame({}));
    let state = live.state;
    for (let i = 0; i < 10; i++) state = show(live, camera.frame({ dab: 0.92 }));
    expect(state.frames).toBeLessThanOrEqual(10);
    expect(state.moving).toBe(false);
  });
});

describe('the camera creeps', () => {
  test('patches follow, and their regions with them', () => {
    const camera = new Camera();
    const live = averager();
    let state = live.state;
    for (let i = 0; i < 10; i++) show(live, camera.frame({}));
    for (let i = 0; i < 40; i++) {
      const shift = { x: Math.min(6, i * 0.25), y: -Math.min(4, i * 0.2) };
      state = show(live, camera.frame({ shift }));
    }
    expect(state.moving).toBe(false);
    expect(state.frames).toBeGreaterThan(20);
    expect(Math.abs(live.regions.dab!.x - (regions.dab.x + 6))).toBeLessThan(1.3);
    expect(Math.abs(live.regions.dab!.y - (regions.dab.y - 4))).toBeLessThan(1.3);
    expect(Math.abs(live.regions.tile[0]!.x - 26)).toBeLessThan(1.3);
  });

  test('after a knock against the bench the regions are found where they have gone', () => {
    const camera = new Camera();
    const live = averager();
    for (let i = 0; i < 10; i++) show(live, camera.frame({}));
    for (let i = 0; i < 6; i++) show(live, camera.frame({ shift: { x: 3 * i, y: -2 * i } }));
    let state = live.state;
    for (let i = 0; i < 12; i++) state = show(live, camera.frame({ shift: { x: 9, y: -6 } }));
    expect(state.moving).toBe(false);
    expect(Math.abs(live.regions.dab!.x - (regions.dab.x + 9))).toBeLessThan(1.3);
    expect(Math.abs(live.regions.dab!.y - (regions.dab.y - 6))).toBeLessThan(1.3);
    expect(Math.abs(live.regions.tile[0]!.x - 29)).toBeLessThan(1.3);
  });

  test('a camera that shakes is moving, however well it can be followed', () => {
    const camera = new Camera();
    const live = averager();
    for (let i = 0; i < 10; i++) show(live, camera.frame({}));
    const states = Array.from({ length: 10 }, (_, i) =>
      show(live, camera.frame({ shift: { x: 4 * Math.sin(0.8 * (i + 1)), y: 0 } })),
    );
    expect(states[9]).toMatchObject({ moving: true, frames: 0 });
  });

  test('out of the frame nothing can be followed: moving', () => {
    const camera = new Camera();
    const live = averager();
    for (let i = 0; i < 60; i++) show(live, camera.frame({ shift: { x: -0.7 * i, y: 0 } }));
    expect(live.rects.every((r) => r.x >= 0 && r.x + r.width <= WIDTH)).toBe(true);
    expect(live.state.frames).toBeLessThan(20);
  });

  test('shift between frames, against the shift they were made with', () => {
    const camera = new Camera();
    const rect = { x: 0, y: 0, width: WIDTH, height: HEIGHT };
    const cells = (shift: { x: number; y: number }) =>
      cellsOf({ rgba: camera.frame({ shift }), first: 0, stride: WIDTH }, rect);
    const still = cells({ x: 0, y: 0 });
    for (const [x, y] of [
      [0, 0],
      [0.5, -0.4],
      [3, 2],
      [-7, 5],
    ] as const) {
      const found = shiftBetween(nodeOpenCv(), still, cells({ x, y }))!;
      expect(Math.abs(found.x - x)).toBeLessThan(0.35);
      expect(Math.abs(found.y - y)).toBeLessThan(0.35);
    }
    const flat = { ...still, green: new Float32Array(still.green.length).fill(90) };
    expect(shiftBetween(nodeOpenCv(), flat, flat)).toBeUndefined();
  });
});
