/** The request line of `read`, checked field by field. */
import * as v from 'valibot';
import { labD65 } from '../colour/spaces.ts';
import { DEFAULT_TILE } from '../reading/settings.ts';
import type { PixelCircle, Regions, TileColour } from '../reading/types.ts';
import { BadInput } from './lines.ts';

const absentOr = (wanted: string) => (issue: { readonly input: unknown }) =>
  issue.input === undefined ? `is missing: ${wanted}` : `must be ${wanted}`;
const number = v.pipe(v.number(absentOr('a number')), v.finite('must be finite'));
const triple = (wanted: string) => v.strictTuple([number, number, number], absentOr(wanted));
const CIRCLE = '{"circle": [x, y, radius]}';
const circle = v.object(
  {
    circle: v.pipe(
      triple('[x, y, radius]'),
      v.check(([, , r]) => r > 0, 'must have a radius above 0'),
    ),
  },
  absentOr(CIRCLE),
);
const polygon = v.pipe(
  v.array(v.strictTuple([number, number], 'must be [x, y]'), absentOr('a list of [x, y]')),
  v.minLength(3, 'needs at least three corners'),
);
const TILE = '{"polygon": [[x, y], …]}';
const dabOn = v.nullish(v.picklist(['piece', 'tile'], 'must be "piece" or "tile"'));
const request = v.object(
  {
    photo: v.pipe(v.string('must be the path of a photograph'), v.nonEmpty('must not be empty')),
    regions: v.object(
      {
        tile: v.nullish(v.object({ polygon }, absentOr(TILE))),
        glaze: circle,
        dab: circle,
        tileLab: v.nullish(
          v.pipe(
            triple('[L, a, b]'),
            v.check(
              ([L, a, b]) => L > 50 && L <= 101 && Math.abs(a) < 20 && Math.abs(b) < 20,
              'is no white tile: L* is 50 to 100 there, a* and b* within ±20',
            ),
          ),
        ),
        dabOn,
      },
      absentOr(`{"glaze": ${CIRCLE}, "dab": ${CIRCLE}}`),
    ),
    dabOn,
    profile: v.nullish(
      v.pipe(v.string('must be the path of a camera profile'), v.nonEmpty('must not be empty')),
    ),
  },
  absentOr('{"photo": …, "regions": …}'),
);

export interface ReadRequest {
  readonly photo: string;
  readonly regions: Regions;
  readonly tileColour: TileColour;
  /** Path of a camera profile, as `npm run profile` makes them. */
  readonly profile?: string;
  /** Fields that were given and mean nothing here: a slip of the hand, perhaps. */
  readonly unused: readonly string[];
}

/** @throws BadInput naming the field and the fault */
export function parseReadRequest(given: unknown): ReadRequest {
  const parsed = v.safeParse(request, given);
  if (!parsed.success) {
    const issue = parsed.issues[0];
    throw new BadInput(`${v.getDotPath(issue) ?? 'the request'} ${issue.message}`);
  }
  const { photo, regions } = parsed.output;
  return {
    photo,
    regions: {
      ...(regions.tile ? { tile: regions.tile.polygon.map(([x, y]) => ({ x, y })) } : {}),
      glaze: asCircle(regions.glaze.circle),
      dab: asCircle(regions.dab.circle),
      dabOn: regions.dabOn ?? parsed.output.dabOn ?? 'piece',
    },
    tileColour: regions.tileLab
      ? { lab: labD65(...regions.tileLab), standardUncertainty: [0.3, 0.15, 0.2] }
      : DEFAULT_TILE,
    ...(parsed.output.profile ? { profile: parsed.output.profile } : {}),
    unused: fieldsLeft(given, parsed.output),
  };
}

/** Paths of what was given and is not in what was understood. */
function fieldsLeft(given: unknown, understood: unknown, path = ''): string[] {
  if (!isRecord(given) || !isRecord(understood)) return [];
  return Object.entries(given).flatMap(([name, value]) => {
    const at = path + name;
    return name in understood ? fieldsLeft(value, understood[name], `${at}.`) : [at];
  });
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

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
