/** The answer line of `read`: the contract's own fields, no pictures. */
import type { PixelPolygon, ReadingResult } from '../reading/types.ts';

const points = (polygon: PixelPolygon) => polygon.map((p) => [p.x, p.y]);

export function readAnswer(result: ReadingResult): unknown {
  if (!result.ok) {
    return {
      ok: false,
      refused: result.refused,
      ...(result.tile
        ? { tile: { polygon: points(result.tile.polygon), level: result.tile.level } }
        : {}),
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
    warnings,
    uncertainty,
    dab: { polygon: points(result.evidence.dabOutline) },
    algorithm: result.algorithm,
  };
}
