/** Which pixels counted, for what, and which were thrown out. */
import type { BlockLayout } from './field-blocks.ts';
import type { FoundDab } from './find-dab.ts';
import type { FieldFit } from './shading-field.ts';
import type { ReadingEvidence } from './types.ts';

export function evidenceOf(
  { window, dab }: FoundDab,
  layout: BlockLayout,
  fit: FieldFit,
): ReadingEvidence {
  const { grid } = window;
  const used = new Uint8Array(grid.cols * grid.rows);
  layout.blocks.forEach((block, i) => {
    const mark = fit.weights[i]! < 0.1 ? 3 : block.onDab ? 2 : 1;
    for (const cell of layout.cells[i]!) used[cell] = mark;
  });
  return {
    dabOutline: dab.polygon,
    ring: {
      inner: { ...dab.centre, radius: layout.inner },
      outer: { ...dab.centre, radius: layout.outer },
    },
    mask: {
      x: grid.x0,
      y: grid.y0,
      width: grid.cols,
      height: grid.rows,
      step: grid.step,
      used,
    },
  };
}
