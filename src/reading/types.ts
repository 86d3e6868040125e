/**
 * What goes into a reading and what comes out of it. Positions are pixels from the top-left corner
 * of the picture, x to the right, y down; a pixel's own area is [x, x+1) × [y, y+1).
 */
import type { LabD65 } from '../colour/spaces.ts';
import type { CameraProfile } from './profile/profile.ts';

export interface PixelPoint {
  readonly x: number;
  readonly y: number;
}
export interface PixelCircle extends PixelPoint {
  readonly radius: number;
}
export type PixelPolygon = readonly PixelPoint[];

/**
 * A picture as a camera or a file gives it: sRGB-encoded RGBA, row by row, `maxCode` for full range.
 * 8 bits for one frame; 16 bits for the mean of many frames, which holds finer steps.
 */
export interface EncodedPicture {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8Array | Uint8ClampedArray | Uint16Array;
  readonly maxCode: 255 | 65535;
  /** How many camera frames were averaged into it; 1 for a photograph. */
  readonly frames: number;
  /** How its codes follow the light, each channel; absent: as sRGB says. */
  readonly tone?: CameraProfile['tone'];
  /**
   * Its codes are sRGB-encoded from the sensor's own light (camera raw): no camera has bent its tones or
   * boosted its colours. Absent: developed by a camera.
   */
  readonly light?: 'sensor';
}

/** Where the person points. */
export interface Regions {
  /** Corners of the tile; absent: it is found. */
  readonly tile?: PixelPolygon;
  /** A patch of sound glaze. A hint for a dab on the piece; sampled as it is for a dab beside it. */
  readonly glaze: PixelCircle;
  /** Where the person points at the dab; its own outline is found from there. */
  readonly dab: PixelCircle;
  /** What the dab lies on: the glaze itself, or the tile or a card beside the piece. */
  readonly dabOn: 'piece' | 'tile';
}

/** The tile's own colour under D65, with the standard uncertainty of each coordinate. */
export interface TileColour {
  readonly lab: LabD65;
  /** Standard uncertainty of L*, a*, b*. */
  readonly standardUncertainty: readonly [number, number, number];
}

export interface VerdictThresholds {
  /** ΔE₀₀ up to which a difference is acceptable. */
  readonly acceptable: number;
  /** ΔE₀₀ up to which a difference cannot be seen. */
  readonly imperceptible: number;
}

export interface ReadingSettings {
  readonly tileColour: TileColour;
  readonly thresholds: VerdictThresholds;
  /** What is known of the camera; absent: sRGB is assumed, and the interval says so. */
  readonly profile?: CameraProfile;
  /** The camera the picture comes from, as the device names it; absent: not known. */
  readonly camera?: string;
}

export type Verdict = 'blends' | 'shows' | 'unsure';

export type RefusalReason =
  | 'tile-missing'
  | 'tile-clipped'
  | 'tile-dark'
  | 'tile-uneven'
  | 'tile-covers'
  | 'dab-clipped'
  | 'dab-dark'
  | 'dab-highlight'
  | 'dab-missing'
  | 'dab-small'
  | 'ring-unusable'
  | 'glaze-clipped'
  | 'coloured-reflection'
  | 'moving'
  | 'lamp-changed'
  | 'picture-small'
  | 'picture-grey'
  | 'picture-blurred';

export interface Refusal {
  readonly reason: RefusalReason;
  /** What is wrong, in the person's words. */
  readonly message: string;
  /** What to do about it. */
  readonly remedy: string;
}

/** One named source of the uncertainty and its share of the variance of the difference, 0–1. */
export interface UncertaintyShare {
  readonly source:
    | 'noise'
    | 'shading'
    | 'texture'
    | 'tile'
    | 'tone'
    | 'pigments'
    | 'turn'
    | 'placement'
    | 'highlight';
  readonly share: number;
}

export type Matrix3 = readonly [
  readonly [number, number, number],
  readonly [number, number, number],
  readonly [number, number, number],
];

export interface Difference {
  /** Dab minus glaze: [ΔL*, Δa*, Δb*]. */
  readonly lab: readonly [number, number, number];
  readonly deltaE00: number;
  /** 95 % coverage interval of ΔE₀₀ (JCGM 101). */
  readonly interval95: readonly [number, number];
  /** Covariance of `lab`, CIELAB units squared. */
  readonly covariance: Matrix3;
}

/** The tile as it was used. */
export interface TileReading {
  readonly polygon: PixelPolygon;
  /** Mean of the brightest channel of the tile as a share of the encoded range, 0–1. */
  readonly level: number;
  /** True when it was found, false when the person gave it. */
  readonly found: boolean;
}

/** Which pixels counted, for drawing on the crop. */
export interface ReadingEvidence {
  /** Outline of the dab as found. */
  readonly dabOutline: PixelPolygon;
  /** Ring of glaze: its inner and outer circle; absent for a dab beside the piece. */
  readonly ring?: { readonly inner: PixelCircle; readonly outer: PixelCircle };
  /**
   * Which pixels counted, in cells of step × step px from (x, y), width × height cells, row by row:
   * 0 unused, 1 glaze, 2 dab, 3 rejected.
   */
  readonly mask: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
    readonly step: number;
    readonly used: Uint8Array;
  };
}

export interface Reading {
  readonly ok: true;
  readonly tile: TileReading;
  readonly glazeLab: LabD65;
  readonly dabLab: LabD65;
  readonly difference: Difference;
  readonly verdict: { readonly acceptable: Verdict; readonly imperceptible: Verdict };
  /** The difference in a mixer's words, largest first: "a little darker", "yellower". */
  readonly words: readonly string[];
  readonly warnings: readonly string[];
  /** What makes up the uncertainty, largest first, and one sentence that says what would help. */
  readonly uncertainty: {
    readonly shares: readonly UncertaintyShare[];
    readonly sentence: string;
  };
  readonly evidence: ReadingEvidence;
  /** Version of the reading algorithm, kept with every stored reading. */
  readonly algorithm: string;
}

export interface RefusedReading {
  readonly ok: false;
  readonly refused: readonly Refusal[];
  /** The tile, when it was found or given, so that the person can see and drag it. */
  readonly tile?: TileReading;
}

export type ReadingResult = Reading | RefusedReading;
