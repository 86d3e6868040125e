/** The demo bench and the video writer. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { DEMO_POT, DemoBench } from '../../calibration-samples/render/demo.ts';
import { writeY4m, yuv420 } from '../../calibration-samples/y4m.ts';

const bench = new DemoBench(DEMO_POT, 480, 270);

/** Mean code of a disc, all three channels. */
function meanIn(
  { width, rgba }: { width: number; rgba: Uint8ClampedArray },
  { x, y, radius }: { x: number; y: number; radius: number },
): number[] {
  const sum = [0, 0, 0];
  let count = 0;
  for (let py = Math.ceil(y - radius); py < y + radius; py++) {
    for (let px = Math.ceil(x - radius); px < x + radius; px++) {
      if (Math.hypot(px + 0.5 - x, py + 0.5 - y) > radius) continue;
      for (let c = 0; c < 3; c++) sum[c]! += rgba[4 * (py * width + px) + c]!;
      count++;
    }
  }
  return sum.map((v) => v / count);
}

describe('the demo bench', () => {
  it('shows the dab getting darker with black, bluer with blue, and wiped with an empty pot', () => {
    const core = { ...bench.regions.dab, radius: 0.5 * bench.regions.dab.radius };
    const seen = (pot: Record<string, number>) => {
      bench.setPot(pot);
      return meanIn(bench.frame(60_000), core);
    };
    const white = seen({ white: 5 });
    const black = seen({ white: 5, black: 0.5 });
    const blue = seen({ white: 5, blue: 0.5 });
    expect(black[1]!).toBeLessThan(white[1]! - 30);
    expect(blue[2]! - blue[0]!).toBeGreaterThan(white[2]! - white[0]! + 30);
    const none = seen({});
    expect(bench.truth).toBeUndefined();
    const glaze = meanIn(bench.frame(60_000), bench.regions.glaze);
    none.forEach((v, c) => expect(Math.abs(v - glaze[c]!)).toBeLessThan(25));
  });

  it('can be brought to a difference nobody sees (0.8, Paravina et al. 2015) with four of its pigments', () => {
    bench.setPot({ white: 5, blue: 0.047, 'yellow-earth': 0.02, black: 0.011 });
    expect(bench.truth!.deltaE00).toBeLessThan(0.8);
    bench.setPot(DEMO_POT);
    expect(bench.truth!.deltaE00).toBeGreaterThan(4);
  });

  it('sprays the mix over the fill, larger than the dab, thin in places, and a dab wipes it off', () => {
    const { fill, dab } = bench.regions;
    expect(fill.radius).toBeGreaterThan(1.4 * dab.radius);
    bench.setPot(DEMO_POT);
    expect(bench.sprayedDifference(fill.x, fill.y)).toBeUndefined();
    const match = { white: 5, blue: 0.047, 'yellow-earth': 0.02, black: 0.011 };
    bench.spray(match);
    const across = Array.from({ length: 25 }, (_, i) =>
      bench.sprayedDifference(
        fill.x + ((i % 5) / 2 - 1) * 0.6 * fill.radius,
        fill.y + (Math.floor(i / 5) / 2 - 1) * 0.6 * fill.radius,
      ),
    ).map((v) => v ?? 0);
    // Covered well it blends as its dab does; where it is thin the white fill shows.
    expect(Math.min(...across)).toBeLessThan(0.8);
    expect(Math.max(...across)).toBeGreaterThan(1.2);
    expect(bench.truth!.deltaE00).toBeLessThan(0.8);
    // Outside the fill nothing has changed.
    expect(bench.sprayedDifference(fill.x, fill.y - 1.4 * fill.radius)).toBeUndefined();
    expect(() => bench.spray({ mauve: 1 })).toThrow('no pigment "mauve"');
    bench.setPot(match);
    expect(bench.sprayedDifference(fill.x, fill.y)).toBeUndefined();
  });

  it('rests, but for noise and a sway below half a pixel, once a touch has settled', () => {
    bench.setPot(DEMO_POT);
    const change = (a: number, b: number) => {
      const [one, two] = [bench.frame(a).rgba, bench.frame(b).rgba];
      return one.reduce((sum, v, i) => sum + Math.abs(v - two[i]!), 0) / one.length;
    };
    const resting = change(90_000, 90_033);
    bench.frame(100_000);
    bench.setPot(DEMO_POT);
    expect(change(100_050, 100_100)).toBeGreaterThan(1.2 * resting);
  });

  it('tells an unknown pigment and an impossible mass', () => {
    expect(() => bench.setPot({ mauve: 1 })).toThrow('no pigment "mauve"');
    expect(() => bench.setPot({ white: -1 })).toThrow('0 or more');
    expect(() => bench.setPot({ white: Number.NaN })).toThrow('0 or more');
  });

  it('has a palette as read: white lightest, black darkest, each tint lighter than its masstone', () => {
    const palette = bench.palette();
    const byLightness = [...palette].sort((a, b) => a.masstone[0] - b.masstone[0]);
    expect(byLightness[0]?.colourIndex).toBe('PBk 11');
    expect(byLightness[byLightness.length - 1]?.colourIndex).toBe('PW 6');
    for (const { masstone, tint, isWhite } of palette) {
      if (isWhite) expect(tint).toBeUndefined();
      else expect(tint!.lab[0]).toBeGreaterThan(masstone[0]);
    }
    const hue = (id: string) => {
      const [, a, b] = palette.find((entry) => entry.id === id)!.tint!.lab;
      return { a, b };
    };
    expect(hue('blue').b).toBeLessThan(-20);
    expect(hue('yellow-earth').b).toBeGreaterThan(20);
    expect(hue('red-oxide').a).toBeGreaterThan(15);
    expect(hue('green').a).toBeLessThan(-10);
  });
});

describe('video for a fake camera', () => {
  // ITU-R BT.601-7, 100 % colour bars, 8-bit limited range (from memory).
  const bars: readonly (readonly [readonly [number, number, number], readonly number[]])[] = [
    [
      [255, 255, 255],
      [235, 128, 128],
    ],
    [
      [255, 255, 0],
      [210, 16, 146],
    ],
    [
      [0, 255, 255],
      [170, 166, 16],
    ],
    [
      [0, 255, 0],
      [145, 54, 34],
    ],
    [
      [255, 0, 255],
      [106, 202, 222],
    ],
    [
      [255, 0, 0],
      [81, 90, 240],
    ],
    [
      [0, 0, 255],
      [41, 240, 110],
    ],
    [
      [0, 0, 0],
      [16, 128, 128],
    ],
  ];

  it.each(bars)('%j is Y, Cb, Cr %j', ([r, g, b], expected) => {
    const block = Uint8ClampedArray.from(Array.from({ length: 4 }, () => [r, g, b, 255]).flat());
    const [y, , , , cb, cr] = yuv420(block, 2, 2);
    [y, cb, cr].forEach((v, i) => expect(Math.abs(v! - expected[i]!)).toBeLessThanOrEqual(1));
  });

  it('writes a header and whole frames', () => {
    const folder = mkdtempSync(join(tmpdir(), 'y4m-'));
    try {
      const file = join(folder, 'two.y4m');
      const frame = new Uint8ClampedArray(4 * 8 * 4).fill(200);
      writeY4m(file, 8, 4, 30, [frame, frame]);
      const bytes = readFileSync(file);
      const header = bytes.subarray(0, bytes.indexOf('\n')).toString();
      expect(header).toBe('YUV4MPEG2 W8 H4 F30:1 Ip A1:1 C420mpeg2');
      expect(bytes.length).toBe(header.length + 1 + 2 * ('FRAME\n'.length + (8 * 4 * 3) / 2));
      expect(() => writeY4m(file, 7, 4, 30, [])).toThrow('even sides');
      expect(() => writeY4m(file, 8, 4, 30, [frame.subarray(4)])).toThrow('124 bytes');
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
