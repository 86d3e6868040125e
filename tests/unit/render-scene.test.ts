/** Scenes as a whole: what a seed and a wish promise, and that the truth is where it says. */
import { describe, expect, it } from 'vitest';
import { BenchFilm, renderBench } from '../../calibration-samples/render/bench.ts';
import { colourant, mixed } from '../../calibration-samples/render/colourants.ts';
import { LAMPS, lampsOf } from '../../calibration-samples/render/lamps.ts';
import { camerasOf } from '../../calibration-samples/render/cameras.ts';
import { inventPair } from '../../calibration-samples/render/pairs.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { sampleScene } from '../../calibration-samples/render/sample-scene.ts';
import { labUnder } from '../../calibration-samples/render/spectra.ts';
import { D65 } from '../../src/colour/illuminants.ts';

const SMALL = { size: [480, 360], dabPixels: 60, clutter: false } as const;

describe('a seed', () => {
  it('names one picture', () => {
    const once = renderBench(sampleScene(5, 'tune', SMALL), new Random(2));
    const again = renderBench(sampleScene(5, 'tune', SMALL), new Random(2));
    expect(again.truth).toEqual(once.truth);
    expect(Buffer.from(again.rgba).equals(Buffer.from(once.rgba))).toBe(true);
  });

  it('of one part never shows a camera or lamp of the other', () => {
    const own = new Set([
      ...lampsOf('judge').map(({ id }) => id),
      ...camerasOf('judge').map(({ id }) => id),
    ]);
    for (const { id } of [...lampsOf('tune'), ...camerasOf('tune')])
      expect(own.has(id)).toBe(false);
    for (let seed = 1; seed <= 6; seed++) {
      const scene = sampleScene(seed, 'judge', SMALL);
      expect(own.has(scene.lamp.id) && own.has(scene.camera.id)).toBe(true);
    }
  });

  it('gives a scene, though its first four drafts hold no layout', () => {
    expect(sampleScene(502, 'tune').seed).toBe(502);
  });
});

describe('what is wished for', () => {
  it('an equal pair is equal, a difference comes close to the one wanted', () => {
    const random = new Random(3);
    for (const { power } of LAMPS) {
      const wish = { kind: 'same', lightness: [30, 90] } as const;
      expect(inventPair('judge', power, { ...wish, deltaE00: 0 }, random).deltaE00).toBe(0);
      const { deltaE00 } = inventPair('judge', power, { ...wish, deltaE00: 2 }, random);
      expect(deltaE00).toBeGreaterThan(1.8);
      expect(deltaE00).toBeLessThan(2.2);
    }
  });

  it('no highlight means none on the dab, one on the dab is there', () => {
    const clear = renderBench(
      sampleScene(7, 'tune', { ...SMALL, highlight: 'none' }),
      new Random(1),
    );
    expect(clear.truth.flags.highlightOnDab).toBeLessThan(0.003);
    const lit = renderBench(sampleScene(7, 'tune', { ...SMALL, highlight: 'on' }), new Random(1));
    expect(lit.truth.flags.highlightOnDab).toBeGreaterThan(0.01);
  });

  it('faults are in the picture', () => {
    const flags = (fault: 'tile-clipped' | 'tile-dark' | 'dab-clipped') =>
      renderBench(sampleScene(9, 'tune', { ...SMALL, fault }), new Random(1)).truth.flags;
    expect(flags('tile-clipped').tileClippedShare).toBeGreaterThan(0.5);
    expect(flags('tile-dark').tileLevel).toBeLessThan(0.3);
    expect(flags('dab-clipped').dabClippedShare).toBeGreaterThan(0.01);
    expect(flags('dab-clipped').tileClippedShare).toBeLessThan(0.1);
    const bare = renderBench(
      sampleScene(9, 'tune', { ...SMALL, fault: 'tile-missing' }),
      new Random(1),
    );
    expect(bare.truth.regions.tile).toBeUndefined();
  });
});

describe('the truth', () => {
  it('says where the dab is: without it the picture changes there and nowhere else', () => {
    const scene = sampleScene(21, 'tune', {
      ...SMALL,
      highlight: 'none',
      deltaE00: 10,
      pigments: 'same',
      texture: 'plain',
    });
    const quiet = {
      ...scene,
      camera: { ...scene.camera, fullWell: 1e12, readNoise: 0, sharpening: 0, flare: 0 },
    };
    const glaze = scene.things[scene.piece]!.surface;
    const withDab = renderBench(quiet, new Random(1));
    const without = renderBench(
      { ...quiet, dab: { ...quiet.dab, surface: glaze, dome: 0 } },
      new Random(1),
    );
    const { x, y, radius } = withDab.truth.regions.dab;
    let outside = 0;
    let inside = 0;
    let insideChanged = 0;
    for (let py = 0; py < withDab.height; py++) {
      for (let px = 0; px < withDab.width; px++) {
        const i = 4 * (py * withDab.width + px);
        const change = Math.max(
          ...[0, 1, 2].map((c) => Math.abs(withDab.rgba[i + c]! - without.rgba[i + c]!)),
        );
        const reach = Math.hypot(px + 0.5 - x, py + 0.5 - y);
        if (reach > 1.7 * radius + 6 && change > 1) outside++;
        if (reach < 0.5 * radius) {
          inside++;
          if (change > 1) insideChanged++;
        }
      }
    }
    expect(outside).toBe(0);
    expect(insideChanged / inside).toBeGreaterThan(0.95);
  });

  it('says where the tile is: its corners are white inside and not outside', () => {
    const { width, rgba, truth } = renderBench(
      sampleScene(22, 'tune', { ...SMALL, highlight: 'none', bench: 'cloth', level: 0.85 }),
      new Random(1),
    );
    const tile = truth.regions.tile!;
    const middle = {
      x: tile.reduce((sum, p) => sum + p.x / 4, 0),
      y: tile.reduce((sum, p) => sum + p.y / 4, 0),
    };
    const green = (share: number, corner: { x: number; y: number }) => {
      const px = Math.floor(middle.x + share * (corner.x - middle.x));
      const py = Math.floor(middle.y + share * (corner.y - middle.y));
      return px < 0 || px >= width ? undefined : rgba[4 * (py * width + px) + 1];
    };
    const outside = tile.flatMap((corner) => green(1.12, corner) ?? []);
    expect(outside.length).toBeGreaterThan(1);
    outside.forEach((v) => expect(v).toBeLessThan(140));
    tile.forEach((corner) => expect(green(0.85, corner)).toBeGreaterThan(140));
  });
});

describe('paints', () => {
  it('reflect between 0 and 1, and more with more white', () => {
    for (const part of ['tune', 'judge'] as const) {
      for (const id of ['cobalt', 'iron-red', 'phthalo', 'bone-black', 'bright-yellow']) {
        const lightness = [0, 1, 10, 100].map((grams) => {
          const film = mixed([
            [colourant(part, id), 1],
            [colourant(part, 'white'), grams],
          ]);
          expect(Math.min(...film)).toBeGreaterThan(0);
          expect(Math.max(...film)).toBeLessThan(1);
          return labUnder(D65.power, film)[0];
        });
        expect([...lightness].sort((a, b) => a - b)).toEqual(lightness);
      }
    }
  });

  it('do not change with the size of the pot', () => {
    const [white, blue] = [colourant('tune', 'white'), colourant('tune', 'ultramarine')];
    const small = mixed([
      [white, 5],
      [blue, 0.1],
    ]);
    const large = mixed([
      [white, 50],
      [blue, 1],
    ]);
    large.forEach((v, i) => expect(v).toBeCloseTo(small[i]!, 12));
  });
});

describe('a film', () => {
  it('has fresh noise each frame, moves by parts of a pixel and follows the lamp', () => {
    const film = new BenchFilm(sampleScene(31, 'tune', SMALL), new Random(5));
    const one = film.frame();
    const two = film.frame();
    expect(Buffer.from(one).equals(Buffer.from(two))).toBe(false);
    const mean = (rgba: Uint8ClampedArray) =>
      rgba.reduce((sum, v, i) => sum + (i % 4 === 1 ? v : 0), 0) / (rgba.length / 4);
    expect(Math.abs(mean(one) - mean(two))).toBeLessThan(0.2);
    expect(mean(film.frame({ dx: 0, dy: 0, gain: 1.1 }))).toBeGreaterThan(mean(one) + 1);
    const moved = film.frame({ dx: 3, dy: 0, gain: 1 });
    // The tile's edge has moved by three pixels: where it was, much has changed.
    const changed = (other: Uint8ClampedArray) =>
      other.reduce((sum, v, i) => sum + (Math.abs(v - one[i]!) > 40 ? 1 : 0), 0);
    expect(changed(moved)).toBeGreaterThan(10 * (changed(two) + 1));
  });
});
