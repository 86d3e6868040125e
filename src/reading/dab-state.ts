/** Can what was outlined be read at all: large enough, neither clipped nor drowned in noise? */
import { polygonContains, polygonHull } from 'd3-polygon';
import { POINTED_CORE, type FoundDab } from './find-dab.ts';
import { centreX, centreY, clippedShare, insideCircle, linearGrid } from './picture.ts';
import { median } from './robust.ts';
import type { EncodedPicture, PixelCircle, RefusalReason } from './types.ts';

/** Least radius of a dab, px: 20 px across can be read, less than 12 cannot. */
export const LEAST_RADIUS = 6;
/** Share of the dab that may be clipped. */
const CLIPPED_SHARE = 0.01;
/** Share that a clipped highlight may have bitten out of its outline, or fill in a bay of it. */
const BITTEN_SHARE = 0.04;
/** Linear light, share of range, under which the dab is noise. */
const DARK = 0.0015;

/** Why the dab that was found cannot be read; nothing when it can. */
export function whyUnreadable(found: FoundDab, pointed: PixelCircle): readonly RefusalReason[] {
  if (found.dab.radius < LEAST_RADIUS) return ['dab-small'];
  const state = dabState(found, pointed);
  if (state.clippedShare > CLIPPED_SHARE || state.bittenShare > BITTEN_SHARE) {
    return state.evenlyBright ? ['dab-clipped'] : ['dab-highlight', 'dab-clipped'];
  }
  return state.light < DARK ? ['dab-dark'] : [];
}

/** Why nothing could be outlined: the dab is past what the camera can see, or the glaze is amiss. */
export function whyUnseen(picture: EncodedPicture, pointed: PixelCircle): RefusalReason {
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

function dabState({ window: { grid }, dab }: FoundDab, pointed: PixelCircle): DabState {
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
