/** Geometry and light of the renderer, against the laws they stand for. */
import { describe, expect, it } from 'vitest';
import {
  FlatBody,
  frameOf,
  Meeting,
  RoundBody,
  View,
  dot,
  unit,
  type Vector,
} from '../../calibration-samples/render/geometry.ts';
import { Light, type LampBody } from '../../calibration-samples/render/lighting.ts';

const UP: Vector = [0, 0, 1];
const bulb = (position: Vector, radius = 20): LampBody => ({
  kind: 'bulb',
  position,
  aim: [0, 0, 0],
  half: [radius, 0],
  turn: 0,
});

describe('a near lamp', () => {
  it('falls off with the square of the distance (Kepler, Lambert)', () => {
    const light = new Light(bulb([0, 0, 400]), [0, 0, 0], UP);
    expect(light.irradiance(0, 0, 0, ...UP)).toBeCloseTo(1, 12);
    expect(light.irradiance(0, 0, 200, ...UP)).toBeCloseTo(4, 12);
    expect(light.irradiance(0, 0, -400, ...UP)).toBeCloseTo(1 / 4, 12);
  });

  it('falls off with the cosine of the angle (Lambert)', () => {
    const light = new Light(bulb([0, 0, 400]), [0, 0, 0], UP);
    const tilted: Vector = [Math.sin(Math.PI / 3), 0, Math.cos(Math.PI / 3)];
    expect(light.irradiance(0, 0, 0, ...tilted)).toBeCloseTo(0.5, 12);
    expect(light.irradiance(0, 0, 0, 0, 0, -1)).toBe(0);
  });

  it('falls off beside its foot as cos³ for a bulb, as cos⁴ for a flat face', () => {
    const away = 400 * Math.tan(0.5);
    const round = new Light(bulb([0, 0, 400]), [0, 0, 0], UP);
    expect(round.irradiance(away, 0, 0, ...UP)).toBeCloseTo(Math.cos(0.5) ** 3, 9);
    const flat = new Light(
      { kind: 'softbox', position: [0, 0, 400], aim: [0, 0, 0], half: [1, 1], turn: 0 },
      [0, 0, 0],
      UP,
    );
    expect(flat.irradiance(away, 0, 0, ...UP)).toBeCloseTo(Math.cos(0.5) ** 4, 4);
  });
});

describe('the lamp mirrored in the glaze', () => {
  const down: Vector = [0, 0, -1];

  it('has 4 % of the lamp’s radiance at the foot (Fresnel, refractive index 1.5)', () => {
    // A face of area A at distance d gives a white surface E = L·A/d²; white's radiance is E/π.
    const light = new Light(
      { kind: 'softbox', position: [0, 0, 500], aim: [0, 0, 0], half: [100, 60], turn: 0 },
      [0, 0, 0],
      UP,
    );
    const lampAgainstWhite = (Math.PI * 500 ** 2) / (200 * 120);
    const mirrored = light.mirrored(0, 0, 0, ...down, ...UP, 0.01);
    // The lamp's face is 200 mm wide at 500 mm: its points are not all at the foot.
    expect(mirrored / (0.04 * lampAgainstWhite)).toBeGreaterThan(0.97);
    expect(mirrored / (0.04 * lampAgainstWhite)).toBeLessThan(1.12);
  });

  it.each(['softbox', 'bulb'] as const)('is spread by roughness, not made stronger: %s', (kind) => {
    const light = new Light(
      { kind, position: [0, 0, 500], aim: [0, 0, 0], half: [40, 25], turn: 0 },
      [0, 0, 0],
      UP,
    );
    // Sum over a flat piece seen straight down from far away.
    const total = (roughness: number) => {
      let sum = 0;
      for (let x = -240; x <= 240; x += 3) {
        for (let y = -240; y <= 240; y += 3) {
          sum += light.mirrored(x, y, 0, ...down, ...UP, roughness);
        }
      }
      return sum;
    };
    const sharp = total(0.015);
    expect(total(0.04) / sharp).toBeGreaterThan(0.9);
    expect(total(0.04) / sharp).toBeLessThan(1.1);
    expect(light.mirrored(0, 0, 0, ...down, ...UP, 0.1)).toBeLessThan(
      light.mirrored(0, 0, 0, ...down, ...UP, 0.02),
    );
  });

  it('is not there on a matt surface, nor away from the mirror direction', () => {
    const light = new Light(bulb([0, 0, 500]), [0, 0, 0], UP);
    expect(light.mirrored(0, 0, 0, ...down, ...UP, 1)).toBe(0);
    expect(light.mirrored(200, 0, 0, ...down, ...UP, 0.02)).toBe(0);
  });

  it('comes to lie where the lamp was placed for it', () => {
    const point: Vector = [20, -10, 30];
    const normal = unit([0.3, -0.2, 1]);
    const eye: Vector = [0, -300, 500];
    const position = Light.placeForMirror(point, normal, eye, 450);
    const light = new Light(bulb(position), point, normal);
    const sight = unit([point[0] - eye[0], point[1] - eye[1], point[2] - eye[2]]);
    const here = light.mirrored(...point, ...sight, ...normal, 0.02);
    const beside = light.mirrored(...point, ...sight, ...unit([0.4, -0.2, 1]), 0.02);
    expect(here).toBeGreaterThan(10 * beside);
  });
});

describe('bodies', () => {
  it('a ball is met at its near side with its radius for a normal', () => {
    const ball = new RoundBody([0, 0, 10], frameOf(UP), [50, 50, 50], 'ellipsoid');
    const found = new Meeting();
    expect(ball.meet(0, 0, 500, 0, 0, -1, found)).toBe(true);
    expect(found.distance).toBeCloseTo(440, 9);
    expect([found.nx, found.ny, found.nz]).toEqual([0, 0, 1]);
    expect(ball.meet(51, 0, 500, 0, 0, -1, new Meeting())).toBe(false);
  });

  it('a normal stands on an ellipsoid as its gradient does', () => {
    const body = new RoundBody([0, 0, 0], frameOf(UP), [80, 50, 30], 'ellipsoid');
    const found = new Meeting();
    expect(body.meet(30, 20, 500, 0, 0, -1, found)).toBe(true);
    const z = 500 - found.distance;
    expect((30 / 80) ** 2 + (20 / 50) ** 2 + (z / 30) ** 2).toBeCloseTo(1, 9);
    const gradient = unit([30 / 80 ** 2, 20 / 50 ** 2, z / 30 ** 2]);
    expect(dot(gradient, [found.nx, found.ny, found.nz])).toBeCloseTo(1, 9);
  });

  it('a point of the world comes back through the view it was projected by', () => {
    const view = new View([30, -280, 520], [0, 0, 12], 1400, 960, 720, 0.07);
    const point: Vector = [42, -31, 25];
    const { x, y } = view.project(point);
    const d = view.direction(x, y);
    const towards = unit([point[0] - 30, point[1] + 280, point[2] - 520]);
    expect(dot(d, towards)).toBeCloseTo(1, 12);
  });

  it('a tile has the corners it was given and nothing beyond its rounding', () => {
    const tile = new FlatBody([0, 0, 6], frameOf(UP), 30, 20, 5);
    expect(tile.corners()).toEqual([
      [-30, -20, 6],
      [30, -20, 6],
      [30, 20, 6],
      [-30, 20, 6],
    ]);
    const hit = (x: number, y: number) => tile.meet(x, y, 100, 0, 0, -1, new Meeting());
    expect(hit(29.9, 0)).toBe(true);
    expect(hit(30.1, 0)).toBe(false);
    expect(hit(29.5, 19.5)).toBe(false);
  });
});
