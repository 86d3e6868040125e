/** The paint worker's one interface: what to add next, and what a mix will look like. */
import type { LabD65 } from '../src/colour/spaces.ts';
import type { NudgeAnswer, NudgeRequest, PalettePigment, PotGrams } from '../src/paint/types.ts';

export interface PaintWorkerApi {
  nudge(request: NudgeRequest): Promise<NudgeAnswer>;
  /** A first mix from nothing: grams of each pigment for a wanted amount. */
  firstMix(
    palette: readonly PalettePigment[],
    glazeLab: LabD65,
    totalGrams: number,
    smallest: number,
  ): Promise<
    | { readonly ok: true; readonly pot: PotGrams; readonly predictedLab: LabD65 }
    | { readonly ok: false; readonly error: string }
  >;
}
