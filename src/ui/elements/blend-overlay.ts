/**
 * The blend map over a picture, without hue: hatched one way above the lower threshold, both ways
 * above the upper one; a dashed line at the lower, a heavy one at the upper, each with its number; a
 * ring at the worst place. Everything is white on black, so that it is seen on any glaze. Picture px.
 */
import { nothing, svg, type TemplateResult } from 'lit';
import type { PixelPoint, PixelPolygon, VerdictThresholds } from '../../reading/types.ts';
import { formatNumber } from './numbers.ts';
import { middleOf, type ViewRect } from './view-rect.ts';

export interface MapOnShow {
  readonly contours: {
    readonly acceptable: readonly PixelPolygon[];
    readonly imperceptible: readonly PixelPolygon[];
  };
  readonly worst: PixelPoint & { readonly deltaE00: number; readonly words: readonly string[] };
  /** The sound glaze the area was held against, to be shown while the area is marked. */
  readonly glazeRound?: readonly PixelPolygon[];
}

/** CSS px: between the lines of a hatching, and the height of a name. */
const PITCH = 9;
const NAME_PX = 15;
/** The keys that change the outline take this much of the foot of the picture, from its end, CSS px. */
const KEYS_PX = 224;

/** A letter is about six tenths as wide as high. */
const widthOf = (text: string, size: number) => 0.6 * size * text.length;

/**
 * @param scale picture px to one CSS px, so that lines and names keep their size
 * @param view what is shown of the picture: names are kept inside it
 */
export function blendOverlay(
  { contours, worst, glazeRound }: MapOnShow,
  thresholds: VerdictThresholds,
  scale: number,
  view: ViewRect,
): TemplateResult {
  const { acceptable, imperceptible } = contours;
  return svg`<defs>${hatching('hatch-lower', 45, scale)}${hatching('hatch-upper', -45, scale)}</defs>
    ${glazeRound ? glazeUsed(glazeRound, scale, view) : nothing}
    ${filled(imperceptible, 'hatch-lower')} ${filled(acceptable, 'hatch-upper')}
    ${line(imperceptible, [3.5, 1.5], '5 4')} ${line(acceptable, [6.5, 3.5])}
    ${number(imperceptible, thresholds.imperceptible, scale, view, 'top')}
    ${number(acceptable, thresholds.acceptable, scale, view, 'bottom')}
    ${worstPlace(worst, scale, view)}`;
}

/** A swatch of the hatchings for the legend; 40 × 28 CSS px. */
export function hatchSample(kind: 'none' | 'lower' | 'upper'): TemplateResult {
  return svg`<defs>${hatching('sample-lower', 45, 1)}${hatching('sample-upper', -45, 1)}</defs>
    <rect width="40" height="28" fill="#777777" />
    ${kind === 'none' ? nothing : svg`<rect width="40" height="28" fill="url(#sample-lower)" />`}
    ${kind === 'upper' ? svg`<rect width="40" height="28" fill="url(#sample-upper)" />` : nothing}`;
}

function hatching(id: string, angle: number, scale: number): TemplateResult {
  return svg`<pattern id=${id} width=${PITCH} height=${PITCH} patternUnits="userSpaceOnUse"
      patternTransform="scale(${scale}) rotate(${angle})">
    <path d="M0 3.5H${PITCH}" stroke="#000000" stroke-width="1.25" stroke-opacity="0.8" />
    <path d="M0 4.75H${PITCH}" stroke="#ffffff" stroke-width="1.25" stroke-opacity="0.9" />
  </pattern>`;
}

const pathOf = (polygons: readonly PixelPolygon[]) =>
  polygons.map((polygon) => `M${polygon.map((p) => `${p.x} ${p.y}`).join('L')}Z`).join('');

/** Rings within rings are holes. */
function filled(polygons: readonly PixelPolygon[], hatch: string): TemplateResult | typeof nothing {
  if (polygons.length === 0) return nothing;
  return svg`<path d=${pathOf(polygons)} fill-rule="evenodd" fill="url(#${hatch})" />`;
}

function line(
  polygons: readonly PixelPolygon[],
  [under, over]: readonly [number, number],
  dashes?: string,
): TemplateResult | typeof nothing {
  if (polygons.length === 0) return nothing;
  const d = pathOf(polygons);
  return svg`<path d=${d} fill="none" stroke="#000000" stroke-width=${under}
      vector-effect="non-scaling-stroke" />
    <path d=${d} fill="none" stroke="#ffffff" stroke-width=${over}
      stroke-dasharray=${dashes ?? nothing} vector-effect="non-scaling-stroke" />`;
}

/** The threshold, written on the longest of its lines. */
function number(
  polygons: readonly PixelPolygon[],
  threshold: number,
  scale: number,
  view: ViewRect,
  side: 'top' | 'bottom',
): TemplateResult | typeof nothing {
  const longest = [...polygons].sort((a, b) => b.length - a.length)[0];
  if (!longest) return nothing;
  const sign = side === 'top' ? 1 : -1;
  const at = longest.reduce((best, p) => (sign * (best.y - p.y) > 0 ? p : best));
  const y = at.y + (side === 'top' ? -5 : 16) * scale;
  return name(formatNumber(threshold, 1), at.x, y, scale, view, 'middle');
}

function worstPlace(
  { x, y, deltaE00, words }: MapOnShow['worst'],
  scale: number,
  view: ViewRect,
): TemplateResult {
  const radius = 9 * scale;
  const size = NAME_PX * scale;
  const ring = (width: number, colour: string) =>
    svg`<circle cx=${x} cy=${y} r=${radius} fill="none" stroke=${colour} stroke-width=${width}
      vector-effect="non-scaling-stroke" />`;
  const value = formatNumber(deltaE00, 1);
  // Beside the ring, on the side away from the middle of the area where that has room.
  const outer = x < view.x + view.width / 2 ? -1 : 1;
  const texts = [`worst here: ${[value, ...words.slice(0, 1)].join(', ')}`, `worst: ${value}`];
  const fitting = [outer, -outer]
    .flatMap((side) => texts.map((text) => ({ text, side })))
    .find(({ text, side }) => {
      const end = x + side * (widthOf(text, size) + 2 * radius);
      return end > view.x && end < view.x + view.width;
    });
  const { text, side } = fitting ?? { text: value, side: 1 };
  return svg`${ring(6, '#000000')}${ring(2.5, '#ffffff')}
    ${name(text, x + side * 1.6 * radius, y + 0.35 * size, scale, view, side > 0 ? 'start' : 'end')}`;
}

/** Dotted round the glaze that was used: a wrong one is seen at once. */
function glazeUsed(
  polygons: readonly PixelPolygon[],
  scale: number,
  view: ViewRect,
): TemplateResult | typeof nothing {
  const longest = [...polygons].sort((a, b) => b.length - a.length)[0];
  if (!longest) return nothing;
  const d = pathOf(polygons);
  const low = longest.reduce((best, p) => (p.y > best.y ? p : best));
  const text = 'glaze used';
  // Clear of the side, and of the keys at the foot of the picture.
  const half = widthOf(text, NAME_PX * scale) / 2;
  const x = Math.max(view.x + half, Math.min(view.x + view.width - KEYS_PX * scale - half, low.x));
  return svg`<path d=${d} fill="none" stroke="#000000" stroke-width="3" stroke-opacity="0.7"
      vector-effect="non-scaling-stroke" />
    <path d=${d} fill="none" stroke="#ffffff" stroke-width="1.5" stroke-dasharray="2 5"
      vector-effect="non-scaling-stroke" />
    ${name(text, x, low.y - 8 * scale, scale, view, 'middle')}`;
}

function name(
  text: string,
  x: number,
  y: number,
  scale: number,
  view: ViewRect,
  anchor: 'start' | 'middle' | 'end',
): TemplateResult {
  const size = NAME_PX * scale;
  const low = view.y + 1.2 * size;
  const high = view.y + view.height - 0.5 * size;
  return svg`<text x=${x} y=${Math.min(high, Math.max(low, y))} text-anchor=${anchor}
    font-size=${size} font-weight="700" fill="#ffffff" stroke="#000000" stroke-width=${5 * scale}
    stroke-linejoin="round" paint-order="stroke">${text}</text>`;
}

/** The outline of the marked area, and a line that is being drawn. */
export function areaOutline(
  outline: PixelPolygon | undefined,
  drawn: PixelPolygon,
  scale: number,
  isEdited: boolean,
): TemplateResult {
  // Once it is done it steps back behind the lines of the map.
  const [under, over] = isEdited ? [4, 1.75] : [2.5, 1];
  const twice = (d: string) =>
    svg`<path d=${d} fill="none" stroke="#000000" stroke-width=${under} stroke-opacity="0.75"
        vector-effect="non-scaling-stroke" />
      <path d=${d} fill="none" stroke="#ffffff" stroke-width=${over} stroke-dasharray="14 4 2 4"
        vector-effect="non-scaling-stroke" />`;
  const middle = outline && middleOf(outline);
  const top = outline && Math.min(...outline.map((p) => p.y));
  return svg`${outline ? twice(pathOf([outline])) : nothing}
    ${
      isEdited && middle && top !== undefined
        ? svg`<text x=${middle.x} y=${top - 14 * scale} text-anchor="middle" font-size=${13 * scale}
            font-weight="600" fill="#ffffff" stroke="#000000" stroke-width=${3.5 * scale}
            paint-order="stroke">sprayed area</text>`
        : nothing
    }
    ${drawn.length > 1 ? twice(`M${drawn.map((p) => `${p.x} ${p.y}`).join('L')}`) : nothing}`;
}
