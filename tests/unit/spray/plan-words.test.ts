/** What speaks against the next step of a spray plan, and against spraying at all. */
import { describe, expect, test } from 'vitest';
import { hazardsIn, lacking } from '../../../src/ui/state/spray-words.ts';
import { map, palette, plan, reading } from '../job-examples.ts';

const [bind, check, coat] = plan.steps;
const later = { createdAt: '2026-03-02T12:00:00.000Z' };

describe('before the next step', () => {
  test('nothing is said where nothing lacks', () => {
    expect(lacking(plan, [], [])).toEqual([]);
  });
  test('too little paint is told by what is at hand: less than the range of what it takes', () => {
    const short = { ...plan, pot: { white: 0.2 } };
    expect(lacking(short, [], [])).toEqual([expect.stringMatching(/^Only 0\.22 g is at hand/)]);
  });
  test('a look wants a map saved since the last step', () => {
    const { at, map: taken, reading: read, ...open } = check!;
    expect([at, taken, read]).not.toContain(undefined);
    const looking = { ...plan, steps: [bind!, open, coat!] };
    expect(lacking(looking, [], [])).toEqual([expect.stringMatching(/No blend map/)]);
    expect(lacking(looking, [{ ...map, ...later, id: 'map/J1/P1/A1/M9' }], [])).toEqual([]);
  });
  test('thinning wants a reading of the bound paint, not of the paint before', () => {
    const thinning = { ...plan, steps: [bind!, { kind: 'thin', note: '' } as const] };
    const before = { ...reading, createdAt: '2026-03-02T09:00:00.000Z' };
    expect(lacking(thinning, [], [before])).toEqual([expect.stringMatching(/not been read/)]);
    expect(lacking(thinning, [], [before, { ...reading, ...later }])).toEqual([]);
  });
});

test('a pigment of the pot that should not be sprayed is named with what it contains', () => {
  // PB 36 is cobalt chromite (Colour Index; from memory).
  const { pigments } = palette;
  expect(hazardsIn({ white: 1, blue: 0.1 }, pigments)).toEqual([
    expect.stringMatching(/PB 36.* contains cobalt: spraying it is advised against/),
  ]);
  expect(hazardsIn({ white: 1, blue: 0 }, pigments)).toEqual([]);
});
