/** A blend map as it is kept: what it came to, where, and what it was made from. */
import * as v from 'valibot';
import type { BlendMap } from '../reading/blend-map.ts';
import type { MarkedArea } from '../reading/marked-area.ts';
import type { PixelPolygon } from '../reading/types.ts';
import { kindAndDates, SCHEMA_VERSION } from './commission.ts';
import {
  deltaE00,
  line,
  listOf,
  measuredLab,
  number,
  pixelCircle,
  pixelPoint,
  pixelPolygon,
  text,
  titled,
  type Frozen,
} from './fields.ts';
import type { Id } from './ids.ts';
import { interval95, verdicts } from './reading-record.ts';
import { crop, shotFields, shotOf, type ShotContext } from './shot.ts';

const share = number(0, 1);
const shares = v.strictObject({
  acceptable: titled('share above the acceptable threshold', share),
  imperceptible: titled('share above the imperceptible threshold', share),
});
const lines = listOf(pixelPolygon, 0, 100);

/** The pictures go beside it: `crop`, the part of the picture that the map covers, and `thumbnail`. */
export const map = v.strictObject({
  ...kindAndDates('map'),
  ...shotFields,
  /** The sprayed area as the person marked it. */
  outline: titled('outline of the sprayed area', pixelPolygon),
  /** Where the person pointed at sound glaze; absent: what lies round the area was taken for it. */
  glaze: v.exactOptional(titled('glaze', pixelCircle)),
  glazeLab: titled('colour of the glaze', measuredLab),
  judged: titled('share of the area that could be judged', share),
  /** The mean colour of the area against the glaze. */
  whole: titled(
    'the area as a whole',
    v.strictObject({
      deltaE00: titled('ΔE₀₀', deltaE00),
      interval95,
      verdict: verdicts,
      words: titled('difference in words', listOf(line(), 0, 20)),
    }),
  ),
  median: titled('median ΔE₀₀ of the area', deltaE00),
  above: titled('shares of the area', shares),
  glazeAbove: titled('shares of the sound glaze round it', shares),
  worst: titled(
    'worst place',
    v.strictObject({
      ...pixelPoint.entries,
      deltaE00: titled('ΔE₀₀', deltaE00),
      words: titled('difference in words', listOf(line(), 0, 20)),
    }),
  ),
  /** Lines round what exceeds each threshold, picture px. */
  lines: titled(
    'lines of the map',
    v.strictObject({
      acceptable: titled('at the acceptable threshold', lines),
      imperceptible: titled('at the imperceptible threshold', lines),
    }),
  ),
  crop,
  algorithm: titled('version of the algorithm', line(80)),
  note: titled('note', text(2000)),
});
export type MapRecord = Frozen<v.InferOutput<typeof map>>;

/** What is known about a map besides the map itself. */
export interface MapContext extends ShotContext {
  readonly id: Id<'map'>;
  /** As the person marked it, in pixels of the picture. */
  readonly marked: { readonly area: MarkedArea; readonly glaze?: MapRecord['glaze'] };
}

/** The record of a blend map. Crop and thumbnail go beside it. */
export function mapRecord(result: BlendMap, context: MapContext): MapRecord {
  const { glaze } = context.marked;
  return {
    kind: 'map',
    schema: SCHEMA_VERSION,
    id: context.id,
    ...shotOf(context),
    tile: { ...context.tile, ...result.tile },
    outline: polygonOf(context.marked.area),
    ...(glaze && { glaze }),
    glazeLab: result.glazeLab,
    judged: result.judged,
    whole: result.whole,
    median: result.median,
    above: result.above,
    glazeAbove: result.glazeAbove,
    worst: result.worst,
    lines: {
      acceptable: keptLines(result.contours.acceptable),
      imperceptible: keptLines(result.contours.imperceptible),
    },
    crop: result.crop,
    algorithm: result.algorithm,
  };
}

/** A circle is kept as a polygon of 48 corners. */
function polygonOf(area: MarkedArea): PixelPolygon {
  if (!('radius' in area)) return area;
  return Array.from({ length: 48 }, (_, i) => ({
    x: area.x + area.radius * Math.cos((2 * Math.PI * i) / 48),
    y: area.y + area.radius * Math.sin((2 * Math.PI * i) / 48),
  }));
}

/** As many lines as are seen, the longest first, to a tenth of a pixel, at most 400 points each. */
function keptLines(all: readonly PixelPolygon[]): readonly PixelPolygon[] {
  return [...all]
    .sort((a, b) => b.length - a.length)
    .slice(0, 100)
    .map((polygon) => {
      const every = Math.ceil(polygon.length / 400);
      return polygon
        .filter((_, i) => i % every === 0)
        .map(({ x, y }) => ({ x: Math.round(10 * x) / 10, y: Math.round(10 * y) / 10 }));
    });
}
