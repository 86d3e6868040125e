/**
 * The step of a dab that nothing outlines. How large it is nobody knows: a person points within it, or a
 * little round it. Were the circle pointed at taken for it, the glaze round that would be half paint
 * wherever somebody pointed at the middle of a larger dab, and the step would be lost; so every size is
 * laid over the same blocks, and the picture says how likely each is.
 */
import { blocksRound } from './field-blocks.ts';
import type { Block } from './field-terms.ts';
import type { LogWindow } from './log-window.ts';
import { fitOverLayouts, type FieldFit, type LaidBlocks } from './shading-field.ts';
import type { PixelCircle } from './types.ts';

/** Sizes held equally likely, and how far glaze is looked at, in radii of the circle pointed at. */
const RADII = [0.9, 1.1, 1.3, 1.5, 1.7];
const REACH = 2.8;
const BLOCKS_PER_RADIUS = 3;
/** Half the width over which paint fades into glaze, as a share of the dab's radius. */
const EDGE = 0.12;
/** In radii pointed at: from where glaze counts less, and how much further off it counts half. */
const NEAR = 1.1;
const HALF = 0.35;

/** @param trust per cell, how surely it is glaze or dab and free of glare, 0–1 */
export function stepOfUnseen(
  window: LogWindow,
  pointed: PixelCircle,
  trust: (cell: number) => number,
): Pick<FieldFit, 'step' | 'noise' | 'shading' | 'texture'> | undefined {
  const ring = { ...pointed, radius: REACH * pointed.radius };
  const away = ({ x, y }: Block) => REACH * Math.hypot(x, y);
  const blocks = blocksRound(window, ring, pointed.radius / BLOCKS_PER_RADIUS, trust)
    .filter((block) => away(block) < REACH && block.trust > 0.05)
    .map((block) => ({
      ...block,
      nearness: 1 / (1 + (Math.max(0, away(block) - NEAR) / HALF) ** 2),
    }));
  return fitOverLayouts(
    RADII.map((radius): LaidBlocks => {
      const cover = blocks.map((block) =>
        Math.min(1, Math.max(0, 0.5 - (away(block) / radius - 1) / (2 * EDGE))),
      );
      return { cover, blocks: blocks.map((block, i) => ({ ...block, onDab: cover[i]! > 0.5 })) };
    }),
  );
}
