/** What stands on the bench: everything the renderer needs, as plain data. */
import type { Camera } from './cameras.ts';
import type { FlatBody, Frame, RoundBody, Vector, View } from './geometry.ts';
import type { Lamp } from './lamps.ts';
import type { LampBody } from './lighting.ts';
import type { PigmentKind } from './pairs.ts';
import type { Spectrum } from './spectra.ts';
import type { Field } from './textures.ts';
import type { Tone } from './isp.ts';

/** How a field is laid over a surface. */
export interface Laid {
  readonly field: Field;
  /** Size of one repeat along the two directions, mm. */
  readonly repeat: readonly [number, number];
  /** Factor on the field's values. */
  readonly depth: number;
}

export interface Surface {
  /**
   * Reflectance for thinner … thicker places, an odd number of steps from −1 to 1; the middle is
   * the surface's own colour.
   */
  readonly steps: readonly Spectrum[];
  /** Slope deviation of the mirror-like part; ≥ 0.5 is matt. */
  readonly roughness: number;
  /** Thickness clouds, in units of the steps. */
  readonly mottle?: Laid;
  /** Cover of specks or crackle lines, with their reflectance. */
  readonly marks?: Laid & { readonly reflectance: Spectrum };
  /** Waviness of the surface: slope. */
  readonly waves?: Laid;
}

export interface Thing {
  readonly name: string;
  readonly body: FlatBody | RoundBody;
  readonly surface: Surface;
  /** It stands on the piece, clear of the piece's shadow. */
  readonly clear?: boolean;
}

/** The touch of paint, drawn in the plane that touches its body at `centre`. */
export interface Dab {
  readonly on: number;
  readonly centre: Vector;
  /** z is the body's normal there. */
  readonly frame: Frame;
  /** Mean radius, mm. */
  readonly radius: number;
  /** Length against width of the blob, ≥ 1, along frame x. */
  readonly aspect: number;
  /** Waves of the outline: height as a share of the radius, count round the blob, phase. */
  readonly outline: readonly (readonly [number, number, number])[];
  /** Width of its edge, mm. */
  readonly softness: number;
  readonly surface: Surface;
  /** Slope at its rim, for it stands a little proud. */
  readonly dome: number;
}

/** A stripe of other colour under the glaze, of that half width in mm. */
export type Band = {
  readonly halfWidth: number;
  readonly surface: Surface;
} & (
  | {
      /** In the plane of the dab. */
      readonly kind: 'stripe';
      /** Direction of its normal in that plane, radians, and its distance from the dab, mm. */
      readonly angle: number;
      readonly offset: number;
      /** 1 / radius of its bend, 1/mm; 0 straight. */
      readonly bend: number;
    }
  | {
      /** Round the piece, at a height along an axis. */
      readonly kind: 'ring';
      readonly centre: Vector;
      readonly axis: Vector;
      readonly height: number;
    }
);

/** Signed distance of a point of the dab's plane from the middle of a stripe, mm. */
export function acrossStripe(
  { angle, offset, bend }: Extract<Band, { readonly kind: 'stripe' }>,
  u: number,
  v: number,
): number {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const along = v * c - u * s;
  return u * c + v * s - offset + bend * along * along;
}

/** Something coloured that the gloss mirrors: a half space of mirrored directions. */
export interface Reflected {
  readonly reflectance: Spectrum;
  /** Unit vector towards its middle. */
  readonly towards: Vector;
  /** Cosine beyond which it is seen, and the softness of that. */
  readonly cosine: number;
  readonly softness: number;
  /** Radiance against a perfect diffuser at irradiance 1. */
  readonly radiance: number;
}

export type HighlightWish = 'none' | 'near' | 'on';
export type Fault = 'tile-clipped' | 'tile-dark' | 'tile-missing' | 'dab-clipped';

export interface BenchScene {
  readonly seed: number;
  readonly view: View;
  readonly lamp: Lamp;
  readonly lampBody: LampBody;
  readonly camera: Camera;
  readonly tone: Tone;
  /** Encoded level (0–1, above 1 clips) of the brightest channel of the tile's middle. */
  readonly level: number;
  /** Light from the room: share of the lamp's irradiance at the tile, and what it bounced off. */
  readonly ambient: { readonly share: number; readonly reflectance: Spectrum };
  readonly reflected?: Reflected;
  /** The bench top first. */
  readonly things: readonly Thing[];
  /** Places in `things`; the tile may be missing. */
  readonly piece: number;
  readonly tile: number | undefined;
  readonly dab: Dab;
  readonly bands: readonly Band[];
  /** Where a person would say the glaze is sound: a point of the piece. */
  readonly glazePoint: Vector;
  /** What the scene is made to show, for the strata of the evaluation. */
  readonly traits: SceneTraits;
}

export interface SceneTraits {
  readonly shape: string;
  readonly glazeName: string;
  readonly pigments: PigmentKind;
  readonly wanted: HighlightWish;
  readonly fault: Fault | undefined;
  readonly dabOn: 'piece' | 'tile';
  readonly band: boolean;
  readonly texture: 'plain' | 'mottled' | 'speckled' | 'crackled';
  readonly dabFinish: 'matt' | 'satin' | 'gloss';
}
