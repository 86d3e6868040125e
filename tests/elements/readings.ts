/** A reading to show, with invented numbers. */
import { labD65 } from '../../src/colour/spaces.ts';
import type { Reading } from '../../src/reading/types.ts';

export function aReading(part: Partial<Reading> = {}): Reading {
  return {
    ok: true,
    tile: {
      polygon: [
        { x: 0, y: 0 },
        { x: 90, y: 0 },
        { x: 90, y: 90 },
        { x: 0, y: 90 },
      ],
      level: 0.84,
      found: true,
    },
    glazeLab: labD65(71.2, -8.4, -2.1),
    dabLab: labD65(68.4, -8.9, -4.6),
    difference: {
      lab: [-2.8, -0.5, -2.5],
      deltaE00: 2.9,
      interval95: [2.4, 3.5],
      covariance: [
        [0.05, 0, 0],
        [0, 0.05, 0],
        [0, 0, 0.05],
      ],
    },
    verdict: { acceptable: 'shows', imperceptible: 'shows' },
    words: ['bluer', 'a little darker'],
    warnings: [],
    uncertainty: { shares: [{ source: 'turn', share: 1 }], sentence: 'Turn the piece.' },
    evidence: {
      dabOutline: [
        { x: 100, y: 100 },
        { x: 140, y: 100 },
        { x: 120, y: 140 },
      ],
      mask: { x: 0, y: 0, width: 2, height: 2, step: 1, used: new Uint8Array([0, 1, 2, 3]) },
    },
    algorithm: 'invented',
    ...part,
  };
}
