/** Paint on the demo bench's tile: what is read of it there is what lies there. */
import { describe, expect, test } from 'vitest';
import { DemoBench } from '../../calibration-samples/render/demo.ts';
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import type { LabD65 } from '../../src/colour/spaces.ts';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { read } from '../../src/reading/read.ts';

const bench = new DemoBench();
const cv = nodeOpenCv();

function readOnTile() {
  const { width, height, rgba } = bench.frame(60_000);
  const coat = { ...bench.regions.onTile, radius: 16 };
  return read(
    cv,
    { width, height, rgba, maxCode: 255, frames: 1 },
    { dab: coat, glaze: coat, dabOn: 'tile' },
    {
      tileColour: {
        lab: bench.tileLab as unknown as LabD65,
        standardUncertainty: [0.5, 0.2, 0.3],
      },
      thresholds: { acceptable: 1.8, imperceptible: 0.8 },
    },
  );
}

describe('paint on the tile of the demo bench', () => {
  // The truth: the renderer's own camera over a flat swatch, without the room that the gloss mirrors,
  // which lightens what is nearly black.
  test.each(bench.palette())('is read as what it is: $colourIndex', (pigment) => {
    const { colourIndex, isWhite, masstone, tint } = pigment;
    const off = (truth: readonly number[]) => {
      const result = readOnTile();
      if (!result.ok) throw new Error(result.refused.map(({ message }) => message).join(' '));
      return deltaE00(result.dabLab, truth as unknown as LabD65);
    };
    bench.layOnTile({ [colourIndex]: 1 });
    expect(off(masstone)).toBeLessThan(3.5);
    if (isWhite) return;
    bench.layOnTile({ [colourIndex]: 0.1, 'PW 6': 0.9 });
    expect(off(tint!.lab)).toBeLessThan(1.5);
  });

  test('is wiped off again, and the dab of the pot is back on the piece', () => {
    const at = ({ x, y }: { readonly x: number; readonly y: number }) => {
      const { width, rgba } = bench.frame(120_000);
      const i = 4 * (Math.round(y) * width + Math.round(x));
      return rgba[i + 1]!;
    };
    const { onTile, dab } = bench.regions;
    bench.setPot({ black: 1 });
    bench.frame(110_000);
    const [bare, covered] = [at(onTile), at(dab)];
    bench.layOnTile({ black: 1 });
    bench.frame(110_000);
    expect(at(onTile)).toBeLessThan(bare - 100);
    expect(at(dab)).toBeGreaterThan(covered + 60);
    bench.setPot({ black: 1 });
    bench.frame(110_000);
    expect(Math.abs(at(onTile) - bare)).toBeLessThan(8);
    expect(Math.abs(at(dab) - covered)).toBeLessThan(8);
  });

  test('of a paint that is not there is refused, as in the pot', () => {
    expect(() => bench.layOnTile({ 'PR 254': 1 })).toThrow(RangeError);
  });
});
