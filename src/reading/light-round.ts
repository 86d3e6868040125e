/** The light on the glaze round the dab and under it, what the lamp mirrors left out. */
import type { OpenCv } from './opencv.ts';
import { fadedDab } from './faded-dab.ts';
import { blocksOf, type BlockLayout } from './field-blocks.ts';
import type { FoundDab } from './find-dab.ts';
import { findHighlights, type Highlights } from './highlights.ts';
import type { LogTriple } from './log-window.ts';
import { centreX, centreY } from './picture.ts';
import { fitBentField, fitShadingField, type FieldFit } from './shading-field.ts';
import type { PixelCircle } from './types.ts';

export interface LightRound {
  readonly highlights: Highlights;
  readonly layout: BlockLayout;
  /** Undefined where glare leaves too little to fit one to. */
  readonly fit: FieldFit | undefined;
  /** The dab's edge fades away: it is held against glaze further off. */
  readonly faded: boolean;
}

/** Undefined where there is too little glaze for any field. */
export function lightRound(
  cv: OpenCv,
  found: FoundDab,
  pointed: PixelCircle,
): LightRound | undefined {
  const { window, dab } = found;
  const first = blocksOf(window, dab);
  const rough = fitBentField(first.blocks);
  if (!rough) return undefined;
  const highlights = findHighlights(
    cv,
    window,
    (0.6 * dab.radius) / window.grid.step,
    expectation(found, first, rough),
    rough.sigma,
  );
  const layout = blocksOf(window, dab, highlights.clear);
  const fit = fitShadingField(layout.blocks);
  const faded =
    fit && !dab.seen ? fadedDab(cv, found, pointed, highlights.clear, layout, fit) : undefined;
  return { highlights, layout, fit, faded: faded !== undefined, ...faded };
}

/** What each cell should show if nothing were mirrored; unknown on the dab's soft edge and far off. */
function expectation(
  { window: { grid }, dab }: FoundDab,
  layout: BlockLayout,
  fit: FieldFit,
): (cell: number) => LogTriple | undefined {
  const edge = dab.softness / grid.step + 1;
  return (cell) => {
    const x = (centreX(grid, cell) - dab.centre.x) / layout.outer;
    const y = (centreY(grid, cell) - dab.centre.y) / layout.outer;
    if (Math.hypot(x, y) > 1.15) return undefined;
    const onDab = dab.mask[cell] === 1;
    if ((onDab ? dab.inside[cell]! : dab.outside[cell]!) < edge) return undefined;
    const [light] = fit.glazeAt(x, y);
    return onDab
      ? [light + fit.step[0], fit.glaze[1] + fit.step[1], fit.glaze[2] + fit.step[2]]
      : [light, fit.glaze[1], fit.glaze[2]];
  };
}
