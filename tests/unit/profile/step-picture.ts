/** A photograph of a row of grey steps, or of a tile, through a camera's curve. */
import type { EncodedPicture, PixelPoint } from '../../../src/reading/types.ts';

export interface StepShot {
  /** Light that each step throws back, 0–1, from left to right. */
  readonly steps: readonly number[];
  /** Light → code, both 0–1. */
  readonly camera: (light: number, channel: number) => number;
  /** Light of the shot, as a factor. */
  readonly light?: number;
  /** A white reflection over one step. */
  readonly highlightOn?: number;
}

const PITCH = 60;
const HEIGHT = 120;
const MARGIN = 30;

/** Middles of the first and of the last step, px. */
export const ends = (steps: number): readonly [PixelPoint, PixelPoint] => [
  { x: MARGIN + PITCH / 2, y: HEIGHT / 2 },
  { x: MARGIN + (steps - 0.5) * PITCH, y: HEIGHT / 2 },
];

export function stepPicture({ steps, camera, light = 1, highlightOn }: StepShot): EncodedPicture {
  const width = 2 * MARGIN + steps.length * PITCH;
  const rgba = new Uint8Array(width * HEIGHT * 4);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < width; x++) {
      const i = Math.floor((x - MARGIN) / PITCH);
      const inside = y > 15 && y < HEIGHT - 15 && i >= 0 && i < steps.length;
      const shiny = i === highlightOn && (x - MARGIN - (i + 0.5) * PITCH) % 7 < 2;
      const seen = inside ? steps[i]! * light + (shiny ? 0.3 : 0) : 0.05;
      // Grain that is the same each time, as dithered rounding is: up to one code.
      const grain = ((x * 7919 + y * 104729 + ((x * y) % 31)) % 11) / 11;
      for (let k = 0; k < 3; k++) {
        const code = 255 * Math.min(1, camera(Math.min(1, seen), k));
        rgba[(y * width + x) * 4 + k] = Math.min(255, Math.floor(code + grain));
      }
      rgba[(y * width + x) * 4 + 3] = 255;
    }
  }
  return { width, height: HEIGHT, rgba, maxCode: 255, frames: 1 };
}
