/** The request line of `read`, checked field by field. */
import * as v from 'valibot';
import { labD65 } from '../colour/spaces.ts';
import { DEFAULT_TILE } from '../reading/settings.ts';
import type { PixelCircle, Regions, TileColour } from '../reading/types.ts';
import { BadInput } from './lines.ts';

const number = v.pipe(v.number('must be a number'), v.finite('must be finite'));
const circle = v.object({
  circle: v.pipe(
    v.strictTuple([number, number, number], 'must be [x, y, radius]'),
    v.check(([, , r]) => r > 0, 'the radius must be above 0'),
  ),
});
const request = v.object({
  photo: v.pipe(v.string('must be a path'), v.nonEmpty('must be a path')),
  regions: v.object({
    tile: v.optional(
      v.object({
        polygon: v.pipe(
          v.array(v.strictTuple([number, number]), 'must be a list of [x, y]'),
          v.minLength(3, 'needs at least three corners'),
        ),
      }),
    ),
    glaze: circle,
    dab: circle,
    tileLab: v.optional(v.strictTuple([number, number, number], 'must be [L, a, b]')),
    dabOn: v.optional(v.picklist(['piece', 'tile'], 'must be "piece" or "tile"'), 'piece'),
  }),
});

export interface ReadRequest {
  readonly photo: string;
  readonly regions: Regions;
  readonly tileColour: TileColour;
}

/** @throws BadInput naming the field and the fault */
export function parseReadRequest(given: unknown, where: string): ReadRequest {
  const parsed = v.safeParse(request, given);
  if (!parsed.success) {
    const issue = parsed.issues[0];
    const path = v.getDotPath(issue) ?? 'the request';
    throw new BadInput(`${where}: ${path}: ${issue.message}`);
  }
  const { photo, regions } = parsed.output;
  if (regions.tileLab && !(regions.tileLab[0] > 50 && regions.tileLab[0] <= 101)) {
    throw new BadInput(`${where}: regions.tileLab: a white tile has L* between 50 and 100`);
  }
  return {
    photo,
    regions: {
      ...(regions.tile ? { tile: regions.tile.polygon.map(([x, y]) => ({ x, y })) } : {}),
      glaze: asCircle(regions.glaze.circle),
      dab: asCircle(regions.dab.circle),
      dabOn: regions.dabOn,
    },
    tileColour: regions.tileLab
      ? { lab: labD65(...regions.tileLab), standardUncertainty: [0.3, 0.15, 0.2] }
      : DEFAULT_TILE,
  };
}

const asCircle = ([x, y, radius]: readonly [number, number, number]): PixelCircle => ({
  x,
  y,
  radius,
});

/** Regions must lie in the picture. @throws BadInput naming the region */
export function checkInPicture(
  { regions, photo }: ReadRequest,
  width: number,
  height: number,
): void {
  const outside = (x: number, y: number) => x < 0 || y < 0 || x > width || y > height;
  for (const name of ['glaze', 'dab'] as const) {
    const c = regions[name];
    if (outside(c.x, c.y)) {
      throw new BadInput(
        `${photo}: regions.${name} lies outside the picture (${width} × ${height} pixels)`,
      );
    }
  }
  if (regions.tile?.some((p) => outside(p.x, p.y))) {
    throw new BadInput(
      `${photo}: regions.tile lies outside the picture (${width} × ${height} pixels)`,
    );
  }
}
