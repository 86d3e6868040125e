/** Where to begin with a brush. All of it is common practice, no source: the brush's own sheet first. */

export interface BrushGuide {
  readonly pressureBar: readonly [low: number, high: number];
  readonly distanceMm: readonly [low: number, high: number];
}

const BY_NOZZLE: readonly (readonly [upToMm: number, guide: BrushGuide])[] = [
  [0.25, { pressureBar: [0.7, 1.4], distanceMm: [20, 60] }],
  [0.4, { pressureBar: [1, 1.8], distanceMm: [50, 100] }],
  [0.6, { pressureBar: [1.4, 2.4], distanceMm: [80, 150] }],
  [2, { pressureBar: [2, 3], distanceMm: [120, 200] }],
];
/** What an airbrush may have and be set to: nozzle, pressure, distance from the piece. */
export const BRUSH_RANGES = {
  nozzleMm: [0.1, 2],
  pressureBar: [0.1, 10],
  distanceMm: [5, 500],
} as const;
/** From coat to coat, min: up to a week. */
export const DRY_MINUTES = [0, 10_080] as const;

/** Ranges for a nozzle, mm; undefined when no airbrush has it. */
export function guideFor(nozzleMm: number): BrushGuide | undefined {
  if (!(nozzleMm >= BRUSH_RANGES.nozzleMm[0])) return undefined;
  return BY_NOZZLE.find(([upTo]) => nozzleMm <= upTo)?.[1];
}
