import { describe, expect, it } from 'vitest';
import { evaluateNudges } from '../evaluate/nudges.ts';

// A small run of the closed loop with fixed seeds, to notice when something grows worse. The bounds
// are those of the design, loosened by what eighty sessions scatter; the full run has 220 and more.
describe('the closed loop, eighty sessions', () => {
  const { overall, baselines } = evaluateNudges({ sessions: 80, seed: 900_001 });

  it('reaches a true ΔE00 below 1 in a median of two nudges', () => {
    expect(overall.median).toBeLessThanOrEqual(2);
    expect(overall.within4).toBeGreaterThanOrEqual(0.9);
    expect(overall.within25).toBeGreaterThanOrEqual(0.95);
  });

  it('lets the pot grow no more than 1.8 times, as a median', () => {
    expect(overall.growth).toBeLessThanOrEqual(1.8);
  });

  it('keeps its promised intervals', () => {
    expect(overall.coverage).toBeGreaterThanOrEqual(0.88);
  });

  it('beats what a mixer does without it', () => {
    expect(overall.within4).toBeGreaterThan(baselines.get('masstone only')!.within4);
    expect(overall.within4).toBeGreaterThan(baselines.get('one by hue')!.within4 + 0.4);
    expect(overall.within4).toBeGreaterThan(baselines.get('random')!.within4 + 0.5);
  });
});
