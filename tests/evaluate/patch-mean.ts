/**
 * The baseline: what a colour picker does. Mean of a patch of glaze, mean of a patch of dab, both
 * against the mean of the tile. It is told the true tile corners, and still errs.
 */
import { labFromXyzD65, xyzD65FromLab } from '../../src/colour/cielab.ts';
import {
  LINEAR_OF_CODE,
  linearSrgbFromXyzD65,
  xyzD65FromLinearSrgb,
} from '../../src/colour/srgb.ts';
import { linearRgb, type LabD65 } from '../../src/colour/spaces.ts';
import type { PixelCircle, PixelPolygon } from '../../src/reading/types.ts';

interface Picture {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray;
}

export function patchMeanReading(
  picture: Picture,
  tile: PixelPolygon,
  tileLab: LabD65,
  glaze: PixelCircle,
  dab: PixelCircle,
): { readonly glazeLab: LabD65; readonly dabLab: LabD65 } {
  const middle = tile.reduce(
    (sum, p) => ({ x: sum.x + p.x / tile.length, y: sum.y + p.y / tile.length }),
    { x: 0, y: 0 },
  );
  const nearest = Math.min(...tile.map((p) => Math.hypot(p.x - middle.x, p.y - middle.y)));
  const white = discMean(picture, { ...middle, radius: 0.5 * nearest });
  const wanted = linearSrgbFromXyzD65(xyzD65FromLab(tileLab));
  const labOf = (circle: PixelCircle) => {
    const mean = discMean(picture, circle);
    const [r, g, b] = [0, 1, 2].map((i) => (mean[i]! * wanted[i]!) / Math.max(1e-6, white[i]!));
    return labFromXyzD65(xyzD65FromLinearSrgb(linearRgb(r!, g!, b!)));
  };
  return { glazeLab: labOf(glaze), dabLab: labOf({ ...dab, radius: 0.6 * dab.radius }) };
}

function discMean({ width, height, rgba }: Picture, circle: PixelCircle): readonly number[] {
  const sum = [0, 0, 0];
  let count = 0;
  const r = Math.max(1.5, circle.radius);
  for (let y = Math.max(0, Math.floor(circle.y - r)); y < Math.min(height, circle.y + r); y++) {
    for (let x = Math.max(0, Math.floor(circle.x - r)); x < Math.min(width, circle.x + r); x++) {
      if (Math.hypot(x + 0.5 - circle.x, y + 0.5 - circle.y) > r) continue;
      const i = 4 * (y * width + x);
      for (let c = 0; c < 3; c++) sum[c]! += LINEAR_OF_CODE[rgba[i + c]!]!;
      count++;
    }
  }
  return sum.map((v) => v / Math.max(1, count));
}
