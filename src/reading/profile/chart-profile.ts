/** A photograph of a chart and the chart's reference → what a camera profile is made of. */
import type { OpenCv } from '../opencv.ts';
import type { EncodedPicture, PixelPolygon } from '../types.ts';
import type { ReferencePatch } from './cgats.ts';
import { findChart } from './chart-finder.ts';
import { sampleChart } from './chart-sampling.ts';
import { fitChart, type ChartFit } from './fit-chart.ts';

export type ChartReading =
  | { readonly ok: true; readonly corners: PixelPolygon; readonly fit: ChartFit }
  /** One line for the person; with the corners when they were found or given. */
  | { readonly ok: false; readonly message: string; readonly corners?: PixelPolygon };

/**
 * @param reference 24 patches, row by row
 * @param given the corners of the field of patches, px, in order round it; absent: they are found
 */
export function readChart(
  cv: OpenCv,
  picture: EncodedPicture,
  reference: readonly ReferencePatch[],
  given?: PixelPolygon,
): ChartReading {
  const corners = given ?? findChart(cv, picture);
  if (!corners) {
    return {
      ok: false,
      message: 'No whole chart of 24 patches is found: show all of it, larger, or set its corners.',
    };
  }
  const samples = sampleChart(picture, corners, reference);
  if (!samples.ok) return { ok: false, message: samples.message, corners };
  const fitted = fitChart(samples.patches);
  if (!fitted.ok) return { ok: false, message: fitted.message, corners };
  const warnings = [...samples.warnings, ...fitted.fit.warnings];
  return { ok: true, corners, fit: { ...fitted.fit, warnings } };
}
