/** The demo job: what a first visit finds. */
import { describe, expect, test } from 'vitest';
import { DEMO_POT, DemoBench } from '../../calibration-samples/render/demo.ts';
import { parseRecord } from '../../src/job/records.ts';
import { DEMO_PIGMENTS, DEMO_TILE, demoPalette, FIRST_POT } from '../../src/ui/state/demo-job.ts';

describe('the demo palette', () => {
  const bench = new DemoBench();
  const distance = (a: readonly number[], b: readonly number[]) =>
    Math.max(...a.map((value, i) => Math.abs(value - b[i]!)));

  // The renderer is the truth here: its own camera reads its own paints.
  test('is what the demo bench’s own camera reads of its paints', () => {
    const read = bench.palette();
    expect(DEMO_PIGMENTS.map((p) => p.id)).toEqual(read.map((p) => p.id));
    for (const [i, pigment] of DEMO_PIGMENTS.entries()) {
      const paint = read[i]!;
      expect(pigment.colourIndex).toBe(paint.colourIndex);
      expect(distance(pigment.masstone!, paint.masstone)).toBeLessThan(0.1);
      if (paint.tint) expect(distance(pigment.tint!.lab, paint.tint.lab)).toBeLessThan(0.1);
      else expect(pigment.isWhite).toBe(true);
    }
  });
  test('goes with the tile and the first mix of the demo bench', () => {
    expect(distance(DEMO_TILE.lab, bench.tileLab)).toBeLessThan(0.1);
    expect(FIRST_POT).toEqual(DEMO_POT);
  });
  test('is a record the store takes', () => {
    const at = new Date('2026-01-31T10:15:00.000Z');
    expect(parseRecord(demoPalette('palette/demo', at))).toMatchObject({ ok: true });
  });
});
