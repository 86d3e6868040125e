/** Tile, ring and dab drawn over the picture: white on black, told apart by their dashes. */
import { nothing, svg, type TemplateResult } from 'lit';
import type {
  PixelCircle,
  PixelPoint,
  PixelPolygon,
  ReadingEvidence,
} from '../../reading/types.ts';
import { middleOf } from './view-rect.ts';

export interface Outlines {
  readonly tile: PixelPolygon | undefined;
  readonly dab: PixelCircle | undefined;
  readonly glaze: PixelCircle | undefined;
  /** As the reading used them; they replace the circles that were pointed at. */
  readonly evidence: Pick<ReadingEvidence, 'dabOutline' | 'ring'> | undefined;
  /** Picture pixels to one CSS pixel, so that names keep their size. */
  readonly scale: number;
}

/** More picture pixels to a CSS pixel than this, and names would crowd each other. */
const SMALL = 2.5;

const points = (polygon: PixelPolygon) => polygon.map((p) => `${p.x},${p.y}`).join(' ');

/** Each line twice: a black one under a white one, seen on any glaze. */
function twice(draw: (className: string) => TemplateResult): TemplateResult {
  return svg`${draw('under')}${draw('over')}`;
}

function name(text: string, x: number, y: number, scale: number): TemplateResult {
  return svg`<text class="name" x=${x} y=${y} font-size=${13 * scale}
    stroke-width=${3.5 * scale}>${text}</text>`;
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
  const top = (at: PixelCircle) => at.y - at.radius - 6 * scale;
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
    ${ring && scale < SMALL ? name('ring of glaze', ring.outer.x, top(ring.outer), scale) : nothing}
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
          ? svg`${circle(dab, 'dab')}${cross(dab, scale)}${name('dab', dab.x, top(dab), scale)}`
          : nothing
    }
  `;
}
