/** A dab whose edge fades into the glaze. */
import type { OpenCv } from './opencv.ts';
import { wideLook } from './faint-outline.ts';
import { blocksOf, type BlockLayout } from './field-blocks.ts';
import type { FoundDab } from './find-dab.ts';
import { fitShadingField, type FieldFit } from './shading-field.ts';
import type { Matrix3, PixelCircle } from './types.ts';

/** A step this large, ln, would have been seen as an outline. */
export const UNSEEN_STEP = 0.15;
/** Deviations by which near and far must differ before the near is distrusted. */
const DISAGREE = 3;

/**
 * A dab that fades into the glaze shows no outline, and the glaze just round it is half paint: the field
 * bends into it and the step is lost. Then its middle against glaze further off reads otherwise.
 */
export function fadedDab(
  cv: OpenCv,
  { window, dab }: FoundDab,
  pointed: PixelCircle,
  clear: Float32Array,
  nearLayout: BlockLayout,
  near: FieldFit,
): { layout: BlockLayout; fit: FieldFit } | undefined {
  const look = wideLook(cv, window, pointed, dab.glazeTrust);
  const layout = blocksOf(window, look.dab, clear, look.layout);
  const fit = fitShadingField(layout.blocks);
  if (!fit) return undefined;
  const disagree = fit.step.some((step, k) => {
    const variance = [near, fit].reduce(
      (sum, f) => sum + f.noise[k]![k]! + f.shading[k]![k]! + f.texture[k]![k]!,
      0,
    );
    return Math.abs(step - near.step[k]!) > DISAGREE * Math.sqrt(variance);
  });
  if (!disagree) return undefined;
  const plausible = fit.step.every((step) => Math.abs(step) < UNSEEN_STEP);
  if (plausible) return { layout, fit };
  // So large a step is as likely the curve of the piece: neither is believed, and the interval holds both.
  const apart = fit.step.map((step, k) => step - near.step[k]!);
  const shading = near.shading.map((row, p) =>
    row.map((v, q) => v + apart[p]! * apart[q]!),
  ) as unknown as Matrix3;
  return { layout: nearLayout, fit: { ...near, shading } };
}
