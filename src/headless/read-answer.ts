/** The answer line of `read`: the contract's own fields, no pictures. */
import type { PixelPolygon, ReadingResult } from '../reading/types.ts';

const points = (polygon: PixelPolygon) => polygon.map((p) => [p.x, p.y]);

/** What is known of the photograph besides its pixels. */
interface Taken {
  /** Bits a channel in the file. */
  readonly bits: number;
  /** From the sensor's own light (camera raw), or developed by a camera. */
  readonly light: 'sensor' | 'developed';
  readonly notes: readonly string[];
}

export function readAnswer(result: ReadingResult, { bits, light, notes }: Taken): object {
  const photograph = { bits, light };
  if (!result.ok) {
    return {
      ok: false,
      refused: result.refused,
      ...(result.tile
        ? { tile: { polygon: points(result.tile.polygon), level: result.tile.level } }
        : {}),
      photograph,
    };
  }
  const { tile, glazeLab, dabLab, difference, verdict, words, warnings, uncertainty } = result;
  return {
    ok: true,
    tile: { polygon: points(tile.polygon), level: tile.level },
    glazeLab,
    dabLab,
    difference,
    verdict,
    words,
    warnings: [...notes, ...warnings],
    uncertainty,
    dab: { polygon: points(result.evidence.dabOutline) },
    algorithm: result.algorithm,
    photograph,
  };
}
