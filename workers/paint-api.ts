/** The paint worker's one interface: what to add next, and what a mix will look like. */
import type { LabD65 } from '../src/colour/spaces.ts';
import type { Characterisation } from '../src/paint/quality.ts';
import type {
  FirstMixRequest,
  NudgeAnswer,
  NudgeRequest,
  PalettePigment,
  PotGrams,
} from '../src/paint/types.ts';

/** An expected failure, in the person's words. */
export interface NotReckoned {
  readonly ok: false;
  readonly error: string;
}

/** How well each pigment is known, in the order of the palette. */
export type CharacterisationsAnswer =
  { readonly ok: true; readonly characterisations: readonly Characterisation[] } | NotReckoned;
/** Where one more gram of each pigment pulls the dab, Lab per gram, by pigment id. */
export type PullsAnswer =
  { readonly ok: true; readonly pulls: Readonly<Record<string, LabD65>> } | NotReckoned;

export interface PaintWorkerApi {
  /** Has the slow first reckonings out before anybody waits. */
  warmUp(): Promise<true>;
  nudge(request: NudgeRequest): Promise<NudgeAnswer>;
  /** A first mix from nothing, for a wanted amount: what to put into an empty pot. */
  firstMix(request: FirstMixRequest): Promise<NudgeAnswer>;
  characterisations(palette: readonly PalettePigment[]): Promise<CharacterisationsAnswer>;
  pulls(palette: readonly PalettePigment[], pot: PotGrams, dabLab: LabD65): Promise<PullsAnswer>;
}
