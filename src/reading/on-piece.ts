/** A dab on the glaze: the ring of glaze round it, one field of light under both. */
import type { OpenCv } from './opencv.ts';
import { conclude, reject, type Concluded, type Read } from './conclude.ts';
import { polygonContains, polygonHull } from 'd3-polygon';
import { wideLook } from './faint-outline.ts';
import { findDab, holdsMiddle, POINTED_CORE, type FoundDab } from './find-dab.ts';
import { blocksOf, type BlockLayout } from './field-blocks.ts';
import {
  clearShare,
  dabLog,
  glareShare,
  highlightOnDab,
  isGleam,
  isLampSlice,
  isLampImage,
  LEAST_CLEAR,
  MOST_GLARE,
} from './glare.ts';
import { findHighlights } from './highlights.ts';
import { logTriple, type LogTriple, type LogWindow } from './log-window.ts';
import { centreX, centreY, clippedShare, insideCircle, linearGrid } from './picture.ts';
import { median } from './robust.ts';
import type { Block } from './field-terms.ts';
import { fitBentField, fitShadingField, type FieldFit } from './shading-field.ts';
import type { TileLight } from './tile.ts';
import { sum, tileWhiteness } from './uncertainty.ts';
import { estimateTurn } from './turn.ts';
import { stepOfUnseen } from './unseen-dab.ts';
import { CLEAR, type DabOutline } from './outline-shape.ts';
import type {
  EncodedPicture,
  Matrix3,
  PixelCircle,
  PixelPolygon,
  ReadingEvidence,
  ReadingSettings,
  RefusalReason,
  Regions,
} from './types.ts';

/** Least radius of a dab, px: 20 px across can be read, less than 12 cannot. */
const LEAST_RADIUS = 6;
/** Share of the dab that may be clipped. */
const CLIPPED_SHARE = 0.01;
/** Share that a clipped highlight may have bitten out of its outline, or fill in a bay of it. */
const BITTEN_SHARE = 0.04;
/** Clipped share of a circle pointed at, from which nothing in it can be trusted. */
const MOSTLY = 0.3;
/** Linear light, share of range, under which the dab is noise. */
const DARK = 0.0015;

export function readOnPiece(
  cv: OpenCv,
  picture: EncodedPicture,
  regions: Regions,
  settings: ReadingSettings,
  tile: TileLight,
  tilePolygon: PixelPolygon,
): Read {
  if (clippedShare(picture, regions.dab) > MOSTLY) return reject('dab-clipped');
  if (clippedShare(picture, regions.glaze) > MOSTLY) return reject('glaze-clipped');
  const glazeHint = circleLog(picture, regions.glaze, tile);
  const found = findDab(cv, picture, regions, glazeHint, tile);
  if (!found) return reject(whyUnseen(picture, regions.dab));
  const { window, dab } = found;
  if (dab.radius < LEAST_RADIUS) return reject('dab-small');
  const state = dabState(window, dab, regions.dab);
  if (state.clippedShare > CLIPPED_SHARE || state.bittenShare > BITTEN_SHARE) {
    return state.evenlyBright ? reject('dab-clipped') : reject('dab-highlight', 'dab-clipped');
  }
  if (state.light < DARK) return reject('dab-dark');
  const first = blocksOf(window, dab);
  const rough = fitBentField(first.blocks);
  if (!rough) return reject('ring-unusable');
  const highlights = findHighlights(
    cv,
    window,
    (0.6 * dab.radius) / window.grid.step,
    expectation(window, dab, first, rough),
    rough.sigma,
  );
  let layout = blocksOf(window, dab, highlights.clear);
  let fit = fitShadingField(layout.blocks);
  const faded =
    fit && !dab.seen ? fadedDab(cv, found, regions.dab, highlights.clear, layout, fit) : undefined;
  if (faded) ({ layout, fit } = faded);
  const free = clearShare(dab, highlights.clear);
  if (free < LEAST_CLEAR || glareShare(window, regions.dab, highlights.image) > MOST_GLARE)
    return reject('dab-highlight');
  // What was outlined lies beside: a shadow, a band, a facet of the piece.
  if (dab.seen && !holdsMiddle(found, regions.dab)) return reject('dab-missing');
  if (!fit) return reject(free < 0.8 ? 'dab-highlight' : 'ring-unusable');
  if (fit.ratioDrift > COLOURED) return reject('coloured-reflection');
  if (glazeHint && !isThatGlaze(fit, glazeHint, dab, layout, regions.glaze)) {
    const beside = awayFrom(dab, regions.glaze) < BESIDE;
    return reject(beside && isGleam(fit.glaze, glazeHint) ? 'dab-highlight' : 'ring-unusable');
  }
  if (!surrounds(layout.blocks, fit)) return reject('ring-unusable');
  if (!dab.seen && Math.abs(fit.step[0]) > UNSEEN_STEP) return reject('dab-missing');
  if (
    highlightOnDab(layout.blocks, fit) ||
    isLampImage(dab, fit) ||
    isLampSlice(found, regions.dab, fit)
  ) {
    return reject('dab-highlight');
  }
  if (dab.contrast > CLEAR / 2 && dab.softness > Math.max(8, 0.4 * dab.radius)) {
    // What fades out so softly is no paint: a soft gleam, or paint out of focus.
    return reject(isGleam(dabLog(fit), fit.glaze) ? 'dab-highlight' : 'picture-blurred');
  }
  const unseen =
    dab.seen || faded
      ? undefined
      : stepOfUnseen(
          window,
          regions.dab,
          (cell) => dab.glazeTrust[cell]! * highlights.clear[cell]!,
        );
  const { step, noise, shading, texture } = unseen ?? fit;
  const turn = estimateTurn(
    picture,
    tilePolygon,
    tile,
    { ...dab.centre, radius: dab.radius },
    fit.glaze,
    tileWhiteness(settings.tileColour.lab),
  );
  const read = conclude(
    {
      glaze: [fit.glaze[0] - turn.logLight, fit.glaze[1], fit.glaze[2]],
      step,
      covariances: {
        noise,
        shading,
        texture,
        highlight: sum([reflected(fit.ratioDrift), gleaming(fit)]),
      },
      turn: turn.standardUncertainty,
    },
    settings,
    evidenceOf(window, dab, layout, fit),
    [...warningsOf(tile, dab), ...(faded ? [FADED] : [])],
  );
  return read.ok && tellsNothing(read.reading) ? reject(whyNothing(read.reading)) : read;
}

/** Half-width of the interval, ΔE₀₀, from which a number of less than twice it tells nothing. */
const NOTHING = 5;

function tellsNothing({ difference: { deltaE00, interval95 } }: Concluded): boolean {
  const halfWidth = (interval95[1] - interval95[0]) / 2;
  return halfWidth > NOTHING && deltaE00 < 2 * halfWidth;
}

const whyNothing = ({ uncertainty }: Concluded): RefusalReason =>
  uncertainty.shares[0]?.source === 'highlight' ? 'dab-highlight' : 'ring-unusable';

const FADED =
  'The edge of the dab fades away, or more of it is paint than you pointed at: point at all of it.';
/** Deviations by which near and far must differ before the near is distrusted. */
const DISAGREE = 3;

/**
 * A dab that fades into the glaze shows no outline, and the glaze just round it is half paint: the field
 * bends into it and the step is lost. Then its middle against glaze further off reads otherwise.
 */
function fadedDab(
  cv: OpenCv,
  { window, dab }: FoundDab,
  pointed: PixelCircle,
  clear: Float32Array,
  nearLayout: BlockLayout,
  near: FieldFit,
): { layout: BlockLayout; fit: FieldFit } | undefined {
  const look = wideLook(cv, window, pointed, dab.glazeTrust);
  const layout = blocksOf(window, look.dab, clear, look.layout);
  const fit = fitShadingField(layout.blocks);
  if (!fit) return undefined;
  const disagree = fit.step.some((step, k) => {
    const variance = [near, fit].reduce(
      (sum, f) => sum + f.noise[k]![k]! + f.shading[k]![k]! + f.texture[k]![k]!,
      0,
    );
    return Math.abs(step - near.step[k]!) > DISAGREE * Math.sqrt(variance);
  });
  if (!disagree) return undefined;
  const plausible = fit.step.every((step) => Math.abs(step) < UNSEEN_STEP);
  if (plausible) return { layout, fit };
  // So large a step is as likely the curve of the piece: neither is believed, and the interval holds both.
  const apart = fit.step.map((step, k) => step - near.step[k]!);
  const shading = near.shading.map((row, p) =>
    row.map((v, q) => v + apart[p]! * apart[q]!),
  ) as unknown as Matrix3;
  return { layout: nearLayout, fit: { ...near, shading } };
}

/** Robust log colour of what lies in a circle, relative to the tile. */
export function circleLog(
  picture: EncodedPicture,
  circle: PixelCircle,
  tile: TileLight,
): LogTriple | undefined {
  const { x, y, radius } = circle;
  const grid = linearGrid(picture, x - radius, y - radius, x + radius, y + radius, 1);
  const values: [number[], number[], number[]] = [[], [], []];
  for (let cell = 0; cell < grid.cols * grid.rows; cell++) {
    if (grid.clipped[cell] || !insideCircle(circle, centreX(grid, cell), centreY(grid, cell))) {
      continue;
    }
    values[0].push(grid.r[cell]!);
    values[1].push(grid.g[cell]!);
    values[2].push(grid.b[cell]!);
  }
  if (values[0].length < 5) return undefined;
  const [r, g, b] = values.map((v, k) => median(v) / tile.linearRgb[k]!);
  return logTriple(r!, g!, b!);
}

/** Why nothing could be outlined: the dab is past what the camera can see, or the glaze is amiss. */
function whyUnseen(picture: EncodedPicture, pointed: PixelCircle): RefusalReason {
  const core = { ...pointed, radius: POINTED_CORE * pointed.radius };
  if (clippedShare(picture, core) > CLIPPED_SHARE) return 'dab-clipped';
  const { x, y, radius } = core;
  const grid = linearGrid(picture, x - radius, y - radius, x + radius, y + radius, 1);
  const lights = Array.from(grid.g, (g, cell) => Math.max(grid.r[cell]!, g, grid.b[cell]!));
  return median(lights) < DARK ? 'dab-dark' : 'ring-unusable';
}

interface DabState {
  /** Clipped share of the dab, and of what its outline's hull holds besides. */
  readonly clippedShare: number;
  readonly bittenShare: number;
  readonly evenlyBright: boolean;
  readonly light: number;
}

function dabState({ grid }: LogWindow, dab: DabOutline, pointed: PixelCircle): DabState {
  let cells = 0;
  let clipped = 0;
  const light: number[] = [];
  // Glare may have bitten a piece out of the outline: what lies within its hull counts as dab, and so
  // does the middle of what was pointed at.
  const core = { ...pointed, radius: POINTED_CORE * pointed.radius };
  const hull = polygonHull(dab.polygon.map(({ x, y }) => [x, y] as [number, number])) ?? [];
  let bitten = 0;
  dab.mask.forEach((on, cell) => {
    const [x, y] = [centreX(grid, cell), centreY(grid, cell)];
    if (on || insideCircle(core, x, y)) {
      cells++;
      clipped += grid.clipped[cell]!;
      light.push(Math.max(grid.r[cell]!, grid.g[cell]!, grid.b[cell]!));
    } else if (grid.clipped[cell] && polygonContains(hull, [x, y])) bitten++;
  });
  const middle = median(light);
  return {
    clippedShare: clipped / Math.max(1, cells),
    bittenShare: bitten / Math.max(1, cells),
    evenlyBright: middle > 0.85,
    light: middle,
  };
}

/** What each cell should show if nothing were mirrored; unknown on the dab's soft edge and far off. */
function expectation(
  { grid }: LogWindow,
  dab: DabOutline,
  layout: BlockLayout,
  fit: FieldFit,
): (cell: number) => LogTriple | undefined {
  const edge = dab.softness / grid.step + 1;
  return (cell) => {
    const x = (centreX(grid, cell) - dab.centre.x) / layout.outer;
    const y = (centreY(grid, cell) - dab.centre.y) / layout.outer;
    if (Math.hypot(x, y) > 1.15) return undefined;
    const onDab = dab.mask[cell] === 1;
    if ((onDab ? dab.inside[cell]! : dab.outside[cell]!) < edge) return undefined;
    const [light] = fit.glazeAt(x, y);
    return onDab
      ? [light + fit.step[0], fit.glaze[1] + fit.step[1], fit.glaze[2] + fit.step[2]]
      : [light, fit.glaze[1], fit.glaze[2]];
  };
}

/** From the dab's middle, in its radii. */
const awayFrom = ({ centre, radius }: DabOutline, at: PixelCircle): number =>
  Math.hypot(at.x - centre.x, at.y - centre.y) / radius;
/** Glaze pointed at no further than this from the dab, in its radii, is the piece it lies on. */
const BESIDE = 8;

/**
 * Is what the ring holds the glaze that was pointed at, and not the bench behind the piece? The light
 * may differ between the two places; as far as the field reaches, it says by how much.
 */
function isThatGlaze(
  fit: FieldFit,
  hint: LogTriple,
  dab: DabOutline,
  layout: BlockLayout,
  at: PixelCircle,
): boolean {
  const away = Math.min(4, awayFrom(dab, at));
  const x = (at.x - dab.centre.x) / layout.outer;
  const y = (at.y - dab.centre.y) / layout.outer;
  const there = Math.hypot(x, y) < 1.1 ? fit.glazeAt(x, y) : fit.glaze;
  const alike = (glaze: LogTriple) =>
    Math.abs(glaze[0] - hint[0]) < 0.4 + 0.15 * away &&
    Math.hypot(glaze[1] - hint[1], glaze[2] - hint[2]) < 0.25 + 0.05 * away;
  return alike(there) || alike(fit.glaze);
}

/** Drift of the glaze's colour round the dab, ln of channel ratio, that only a reflection makes. */
const COLOURED = 0.3;
/** Share of that drift that may lie between glaze and dab: one is glossy, the other perhaps not. */
const DRIFT_SHARE = 0.12;

function reflected(drift: number): Matrix3 {
  const variance = (DRIFT_SHARE * drift) ** 2;
  return [
    [variance, 0, 0],
    [0, variance, 0],
    [0, 0, variance],
  ];
}

/** What the glaze mirrors softly the dab may mirror as well, or not at all. */
function gleaming(fit: FieldFit): Matrix3 {
  const { logLight, along } = fit.gleam();
  return along.map((p) => along.map((q) => logLight ** 2 * p * q)) as unknown as Matrix3;
}

/** A step this large, ln, would have been seen as an outline. */
const UNSEEN_STEP = 0.15;

/** Does glaze that counts lie round the dab on at least three of eight sides, not all together? */
function surrounds(blocks: readonly Block[], fit: FieldFit): boolean {
  const held = new Float64Array(8);
  blocks.forEach((b, i) => {
    if (b.onDab) return;
    held[Math.floor((Math.atan2(b.y, b.x) / Math.PI + 1) * 4) % 8]! += fit.weights[i]!;
  });
  return held.filter((w) => w > 2).length >= 3;
}

function evidenceOf(
  window: LogWindow,
  dab: DabOutline,
  layout: BlockLayout,
  fit: FieldFit,
): ReadingEvidence {
  const { grid } = window;
  const used = new Uint8Array(grid.cols * grid.rows);
  layout.blocks.forEach((block, i) => {
    const mark = fit.weights[i]! < 0.1 ? 3 : block.onDab ? 2 : 1;
    for (const cell of layout.cells[i]!) used[cell] = mark;
  });
  return {
    dabOutline: dab.polygon,
    ring: {
      inner: { ...dab.centre, radius: layout.inner },
      outer: { ...dab.centre, radius: layout.outer },
    },
    mask: {
      x: grid.x0,
      y: grid.y0,
      width: grid.cols,
      height: grid.rows,
      step: grid.step,
      used,
    },
  };
}

function warningsOf(tile: TileLight, dab: DabOutline): string[] {
  const warnings: string[] = [];
  if (tile.level > 0.93)
    warnings.push('The tile is nearly too bright: lower the exposure a little.');
  if (tile.level < 0.6) warnings.push('The tile is rather dark: raise the exposure.');
  if (tile.gradient > 0.25) warnings.push('The tile is lit unevenly: move the lamp further away.');
  if (!dab.seen) {
    warnings.push('The dab cannot be told from the glaze; the circle you pointed at was read.');
  }
  return warnings;
}
