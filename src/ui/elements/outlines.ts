/** Tile, ring and dab drawn over the picture: white on black, told apart by their dashes. */
import { nothing, svg, type TemplateResult } from 'lit';
import type {
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingEvidence,
} from '../../reading/types.ts';
import { middleOf, type ViewRect } from './view-rect.ts';

export interface Outlines {
  readonly tile: PixelPolygon | undefined;
  readonly dab: PixelCircle | undefined;
  readonly glaze: PixelCircle | undefined;
  /** As the reading used them; they replace the circles that were pointed at. */
  readonly evidence: Pick<ReadingEvidence, 'dabOutline' | 'ring'> | undefined;
  /** Picture pixels to one CSS pixel, so that names keep their size. */
  readonly scale: number;
  /** The part of the picture that is shown: names stay in it, and off the line at its top. */
  readonly view: ViewRect;
}

/** More picture pixels to a CSS pixel than this, and names would crowd each other. */
const SMALL = 2.5;

const points = (polygon: PixelPolygon) => polygon.map((p) => `${p.x},${p.y}`).join(' ');

/** Each line twice: a black one under a white one, seen on any glaze. */
function twice(draw: (className: string) => TemplateResult): TemplateResult {
  return svg`${draw('under')}${draw('over')}`;
}

function name(
  text: string,
  x: number,
  y: number,
  scale: number,
  anchor = 'middle',
): TemplateResult {
  return svg`<text class="name" text-anchor=${anchor} x=${x} y=${y} font-size=${13 * scale}
    stroke-width=${3.5 * scale}>${text}</text>`;
}

/** So much of the top, CSS px, is for the line that names the picture. */
const TOP_LINE = 32;

/** Where the name of a circle stands: above it, else below, else beside it. */
export function nameSpot(
  { x, y, radius }: PixelCircle,
  scale: number,
  view: ViewRect,
): PixelPoint & { readonly anchor: 'middle' | 'start' } {
  const above = y - radius - 6 * scale;
  if (above - 13 * scale >= view.y + TOP_LINE * scale) return { x, y: above, anchor: 'middle' };
  const below = y + radius + 16 * scale;
  if (below + 4 * scale <= view.y + view.height) return { x, y: below, anchor: 'middle' };
  return { x: x + radius + 8 * scale, y: y + 4 * scale, anchor: 'start' };
}

function nameOf(text: string, at: PixelCircle, { scale, view }: Outlines): TemplateResult {
  const { x, y, anchor } = nameSpot(at, scale, view);
  return name(text, x, y, scale, anchor);
}

function circle(at: PixelCircle, kind: string): TemplateResult {
  return twice(
    (line) =>
      svg`<circle class="${line} ${kind}" cx=${at.x} cy=${at.y} r=${Math.max(1, at.radius)} />`,
  );
}

function cross({ x, y }: PixelPoint, scale: number): TemplateResult {
  const arm = 7 * scale;
  const path = `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`;
  return twice((line) => svg`<path class="${line} cross" d=${path} />`);
}

function isNear(tile: PixelPolygon, { x, y }: PixelPoint): boolean {
  const [across, down] = [tile.map((p) => p.x), tile.map((p) => p.y)];
  return (
    x > Math.min(...across) &&
    x < Math.max(...across) &&
    y > Math.min(...down) &&
    y < Math.max(...down)
  );
}

function topOf(tile: PixelPolygon, scale: number): PixelPoint {
  const top = tile.reduce((best, p) => (p.y < best.y ? p : best));
  return { x: top.x, y: top.y - 6 * scale };
}

export function outlines(of: Outlines): TemplateResult {
  const { tile, dab, glaze, evidence, scale } = of;
  const ring = evidence?.ring;
  // The glaze's name stands on the side away from the dab.
  const away = dab && glaze && glaze.x < dab.x ? -1 : 1;
  // Above the tile where something lies on it, else in its middle.
  const tileName = tile && (dab && isNear(tile, dab) ? topOf(tile, scale) : middleOf(tile));
  return svg`
    ${
      tile && tileName
        ? svg`${twice((line) => svg`<polygon class="${line} tile" points=${points(tile)} />`)}
            ${name('tile', tileName.x, tileName.y, scale)}`
        : nothing
    }
    ${ring ? svg`${circle(ring.inner, 'ring')}${circle(ring.outer, 'ring')}` : nothing}
    ${ring && scale < SMALL ? nameOf('ring of glaze', ring.outer, of) : nothing}
    ${
      glaze
        ? svg`${ring ? nothing : circle(glaze, 'glaze')} ${cross(glaze, scale)}
            ${name('glaze', glaze.x + away * 32 * scale, glaze.y + 4 * scale, scale)}`
        : nothing
    }
    ${
      evidence
        ? twice(
            (line) => svg`<polygon class="${line} dab" points=${points(evidence.dabOutline)} />`,
          )
        : dab
          ? svg`${circle(dab, 'dab')}${cross(dab, scale)}${nameOf('dab', dab, of)}`
          : nothing
    }
  `;
}
