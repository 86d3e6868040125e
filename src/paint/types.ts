/** What goes into a nudge and what comes out of it: the headless contract and the paint worker's. */
import type { LampKind } from '../colour/lamp-light.ts';
import type { LabD65 } from '../colour/spaces.ts';
import type { Hand } from './hand.ts';
import type { Writing } from './writing.ts';

/** A pigment in white at a known ratio by mass, opaque. */
export interface Tint {
  readonly lab: LabD65;
  /** Parts by mass, each > 0. */
  readonly pigment: number;
  readonly white: number;
}

/** One paint of the palette. Colours are of opaque films read like a dab. */
export interface PalettePigment {
  readonly id: string;
  /** Colour Index generic name, "PB 35". */
  readonly colourIndex?: string;
  readonly isWhite?: boolean;
  /** The pigment alone at full hiding. */
  readonly masstone: LabD65;
  /** The pigment in white at a known ratio by mass. */
  readonly tint?: Tint;
  /** Further tints at other ratios, which make the pigment better known. */
  readonly moreTints?: readonly Tint[];
  /** Not to be added: it only counts as what the pot holds. */
  readonly putAway?: boolean;
  /** Learned strength relative to its characterisation, 1 when nothing is learned yet. */
  readonly strength?: number;
}

/** What is believed of a pigment's tinting strength relative to its characterisation: log-normal. */
export interface Strength {
  /** Mean of the natural logarithm; 0: as characterised. */
  readonly logMean: number;
  /** Standard deviation of the natural logarithm, > 0. */
  readonly logSd: number;
}

/** Grams of each pigment, by id. */
export type PotGrams = Readonly<Record<string, number>>;

/** A pot as it once was, and its reading. */
export interface PastAttempt {
  readonly pot: PotGrams;
  readonly dabLab: LabD65;
  /** How the glaze read beside this dab, where it was read anew. */
  readonly glazeLab?: LabD65;
}

/** The pair as it read under another lamp than the one the request's own colours were read under. */
export interface OtherLamp {
  /** As the person calls it. */
  readonly name: string;
  readonly kind: LampKind;
  /** Colour temperature, K; absent: usual for its kind. */
  readonly kelvin?: number;
  readonly glazeLab: LabD65;
  readonly dabLab: LabD65;
}

/** What a dab is expected to miss the glaze by under another lamp. */
export interface MissUnderLamp {
  readonly name: string;
  readonly lab: LabD65;
  readonly deltaE00: number;
}

export interface NudgeRequest extends Hand {
  readonly palette: readonly PalettePigment[];
  readonly pot: PotGrams;
  readonly glazeLab: LabD65;
  readonly dabLab: LabD65;
  /** Earlier attempts of this pot, oldest first. */
  readonly history: readonly PastAttempt[];
  /**
   * Strengths learned with earlier pots, by pigment id; they stand before `PalettePigment.strength`.
   * What the history of this pot taught is not to be sent back along with that history.
   */
  readonly strengths?: Readonly<Record<string, Strength>>;
  /**
   * Standard uncertainty of ln light on the piece against the tile, which dab and glaze share; absent:
   * 0.2, as a reading estimates it.
   */
  readonly lightSigma?: number;
  /** Largest growth of the pot, as a share of its mass: 0.8 lets 5 g become 9 g. */
  readonly largestGrowth: number;
  /** The dab of `pot` and its glaze as they read under other lamps: additions should hold there too. */
  readonly lamps?: readonly OtherLamp[];
  /** How numbers in sentences are written; absent: in English, in grams. */
  readonly writing?: Writing;
}

/** A strong pigment stirred into white beforehand, so that a hand can dose it. */
export interface PreDilution {
  readonly pigment: string;
  /** Parts of white to one of pigment, by mass. */
  readonly parts: number;
  /** Grams of the dilution to add; its pigment and its white are both among the additions. */
  readonly grams: number;
}

/** A nudge from nothing: there is no pot yet, and no dab; `history` is of pots that were given up. */
export interface FirstMixRequest extends Omit<NudgeRequest, 'dabLab' | 'largestGrowth' | 'lamps'> {
  /** Grams of paint that are wanted. */
  readonly amount: number;
}

export interface Suggestion {
  /** Grams to add, by pigment id. */
  readonly additions: PotGrams;
  /** Of the additions, what is stirred together first; absent: nothing. */
  readonly preDiluted?: readonly PreDilution[];
  readonly predicted: {
    readonly lab: LabD65;
    readonly deltaE00: number;
    readonly interval95: readonly [number, number];
  };
  /** What is expected under the other lamps of the request. */
  readonly underLamps?: readonly MissUnderLamp[];
  /** Mass added over mass of the pot. */
  readonly growth: number;
  /** Cautions in the person's words: overshoot risk, pre-dilution, hazard. */
  readonly notes: readonly string[];
}

/** A mix from nothing that comes nearer, or cheaper, than adding does. */
export interface FreshMix {
  /** Grams of each pigment, by id, in doses a hand can make. */
  readonly pot: PotGrams;
  /** Of the pot, what is stirred together first; absent: nothing. */
  readonly preDiluted?: readonly PreDilution[];
  readonly predicted: { readonly lab: LabD65; readonly deltaE00: number };
}

export type NudgeAnswer =
  | {
      readonly ok: true;
      /** Best first. */
      readonly suggestions: readonly Suggestion[];
      /** Why the list is empty, or what is missing, in the person's words. */
      readonly reason?: string;
      /** What the mean of all readings of this pot is off by; absent where there is but one. */
      readonly readTogether?: { readonly count: number; readonly deltaE00: number };
      /** Why the dab is to be read once more before the mix is called done; absent: it need not be. */
      readonly readAgain?: string;
      /** Advised where adding does not get there, or costs more paint than mixing anew. */
      readonly startAgain?: FreshMix;
      /** What does not fit together in the request, pigment by pigment, in the person's words. */
      readonly warnings: readonly string[];
      /** Strength of each pigment as learned from the history. */
      readonly strengths: Readonly<Record<string, number>>;
      /** The same as a distribution, for keeping with the palette and sending with the next pot. */
      readonly learned: Readonly<Record<string, Strength>>;
    }
  | { readonly ok: false; readonly error: string };
