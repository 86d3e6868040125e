/** The surface to be covered, from what a ruler or the picture gives. */
import { polygonArea } from 'd3-polygon';
import { squareCentimetres, type FieldFault, type SquareCentimetres } from './quantities.ts';

export interface PicturePoint {
  readonly x: number;
  readonly y: number;
}

/** Lengths in mm; `turn` is the part of the way round a cylinder, 0–1. */
export type AreaShape =
  | { readonly kind: 'rectangle'; readonly lengthMm: number; readonly widthMm: number }
  | {
      readonly kind: 'band';
      readonly diameterMm: number;
      readonly heightMm: number;
      readonly turn: number;
    }
  | { readonly kind: 'ring'; readonly outerMm: number; readonly innerMm: number }
  | { readonly kind: 'disc'; readonly diameterMm: number }
  /** Measured on a picture: how many times the tile's face the area is. */
  | {
      readonly kind: 'picture';
      readonly tileWidthMm: number;
      readonly tileHeightMm: number;
      readonly tiles: number;
    };

export type ShapeField =
  | 'lengthMm'
  | 'widthMm'
  | 'diameterMm'
  | 'heightMm'
  | 'turn'
  | 'outerMm'
  | 'innerMm'
  | 'tileWidthMm'
  | 'tileHeightMm'
  | 'tiles';

/** A ruler on a curved piece is good for this share of the area: common practice, no source. */
const BY_RULER = 0.1;
/** A picture sees the area nearer or further than the tile, and bent away: common practice, no source. */
const BY_PICTURE = 0.2;

/** Area with its standard uncertainty as a share of it. Call `shapeFaults` first. */
export function areaOf(shape: AreaShape): {
  readonly area: SquareCentimetres;
  readonly relative: number;
} {
  return {
    area: squareCentimetres(squareMillimetres(shape) / 100),
    relative: shape.kind === 'picture' ? BY_PICTURE : BY_RULER,
  };
}

function squareMillimetres(shape: AreaShape): number {
  switch (shape.kind) {
    case 'rectangle':
      return shape.lengthMm * shape.widthMm;
    case 'band':
      return Math.PI * shape.diameterMm * shape.heightMm * shape.turn;
    case 'ring':
      return (Math.PI / 4) * (shape.outerMm ** 2 - shape.innerMm ** 2);
    case 'disc':
      return (Math.PI / 4) * shape.diameterMm ** 2;
    case 'picture':
      return shape.tileWidthMm * shape.tileHeightMm * shape.tiles;
  }
}

/** Lengths beyond this are a slip of the unit, mm. */
const LONGEST_MM = 3000;

export function shapeFaults(shape: AreaShape): readonly FieldFault<ShapeField>[] {
  const faults: FieldFault<ShapeField>[] = [];
  for (const [name, value] of Object.entries(shape)) {
    if (typeof value !== 'number') continue;
    const field = name as ShapeField;
    const mayBeZero = field === 'innerMm';
    if (!Number.isFinite(value)) faults.push({ field, message: 'give a number' });
    else if (value < 0 || (value === 0 && !mayBeZero)) {
      faults.push({ field, message: 'must be more than zero: there is no area to cover' });
    } else if (field === 'turn' && value > 1) {
      faults.push({ field, message: 'is at most 100 %: once round' });
    } else if (field.endsWith('Mm') && value > LONGEST_MM) {
      faults.push({ field, message: 'is more than 3 m: check the unit' });
    }
  }
  if (shape.kind === 'ring' && shape.innerMm >= shape.outerMm) {
    faults.push({ field: 'innerMm', message: 'must be smaller than the outer diameter' });
  }
  return faults;
}

/**
 * How many times the tile's face an outline in the same picture is, both lying about as far from the
 * camera. Outlines in px, at least three corners; NaN when the tile has no extent.
 */
export function inTiles(outline: readonly PicturePoint[], tile: readonly PicturePoint[]): number {
  const tilePixels = pixelArea(tile);
  return tilePixels > 0 ? pixelArea(outline) / tilePixels : Number.NaN;
}

/** The area within an outline, px². */
const pixelArea = (outline: readonly PicturePoint[]): number =>
  Math.abs(polygonArea(outline.map(({ x, y }): [number, number] => [x, y])));
