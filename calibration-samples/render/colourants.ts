/**
 * Colourants with invented absorption K and scattering S, as ugly as real ones: steep edges, hooks
 * beyond them, shoulders, narrow bands of rare-earth and transition-metal stains. Mixed by the
 * generator's own Kubelka–Munk with Saunderson, specular excluded.
 */
import type { Part } from './lamps.ts';
import { Random } from './random.ts';
import { BAND_COUNT, edge, skewedBell, spectrumOf, type Spectrum } from './spectra.ts';

export interface Colourant {
  readonly id: string;
  readonly absorption: Spectrum;
  readonly scattering: Spectrum;
}

/** [peak nm, left, right, height] of an absorption band; or [edge nm, width, height] absorbing below. */
type Band = readonly [number, number, number, number];
type Edge = readonly [number, number, number];
export interface ColourantRecipe {
  readonly bands?: readonly Band[];
  readonly edges?: readonly Edge[];
  readonly floor: number;
  readonly scattering: number;
}

/** Every figure invented. Heights are absorption against the scattering 1 of the white base. */
const RECIPES: Readonly<Record<string, ColourantRecipe>> = {
  // Stains of glazes.
  cobalt: {
    bands: [
      [540, 22, 18, 3.2],
      [590, 16, 17, 5.2],
      [642, 18, 16, 4.6],
    ],
    floor: 0.06,
    scattering: 0.05,
  },
  copper: {
    bands: [[790, 120, 80, 5]],
    edges: [[405, 30, 1.2]],
    floor: 0.05,
    scattering: 0.05,
  },
  'iron-reduced': {
    bands: [
      [1000, 230, 80, 4.5],
      [470, 40, 60, 0.25],
    ],
    edges: [[420, 34, 2.6]],
    floor: 0.1,
    scattering: 0.05,
  },
  'iron-red': {
    edges: [
      [578, 16, 5],
      [500, 40, 1.5],
    ],
    bands: [[655, 18, 22, 0.55]],
    floor: 0.25,
    scattering: 0.45,
  },
  'iron-black': {
    bands: [[480, 110, 200, 3]],
    edges: [[520, 70, 3]],
    floor: 3.2,
    scattering: 0.2,
  },
  manganese: {
    bands: [
      [495, 60, 45, 3.4],
      [555, 30, 30, 0.8],
    ],
    edges: [[410, 20, 1]],
    floor: 0.35,
    scattering: 0.08,
  },
  chrome: {
    bands: [
      [452, 32, 26, 4.4],
      [607, 30, 38, 4.6],
      [660, 10, 12, 0.8],
    ],
    floor: 0.25,
    scattering: 0.3,
  },
  'tin-vanadium': {
    edges: [
      [468, 18, 4],
      [505, 30, 0.5],
    ],
    floor: 0.04,
    scattering: 0.5,
  },
  antimony: { edges: [[498, 14, 4.2]], bands: [[560, 25, 45, 0.12]], floor: 0.03, scattering: 0.6 },
  praseodymium: {
    bands: [
      [446, 10, 9, 5],
      [471, 7, 6, 3.6],
      [484, 6, 5, 3.4],
      [592, 7, 9, 0.75],
    ],
    edges: [[420, 12, 2]],
    floor: 0.02,
    scattering: 0.6,
  },
  erbium: {
    bands: [
      [488, 6, 6, 0.55],
      [522, 6, 7, 1.5],
      [543, 5, 5, 0.5],
      [653, 7, 7, 0.7],
    ],
    edges: [[392, 8, 0.8]],
    floor: 0.015,
    scattering: 0.3,
  },
  'chrome-tin': {
    bands: [
      [520, 38, 30, 4],
      [475, 30, 30, 1],
    ],
    edges: [[400, 16, 0.7]],
    floor: 0.08,
    scattering: 0.4,
  },
  // Paints. The white base is rutile.
  'red-oxide': {
    edges: [
      [586, 13, 7],
      [520, 30, 2],
    ],
    bands: [[665, 20, 26, 0.6]],
    floor: 0.3,
    scattering: 0.7,
  },
  'yellow-earth': {
    edges: [
      [512, 22, 4.5],
      [575, 20, 0.6],
    ],
    bands: [[650, 24, 40, 0.32]],
    floor: 0.12,
    scattering: 0.55,
  },
  umber: {
    edges: [[560, 80, 4]],
    floor: 1.1,
    scattering: 0.35,
  },
  'bone-black': { bands: [[420, 60, 400, 4]], floor: 14, scattering: 0.12 },
  'blue-cobalt': {
    bands: [
      [552, 24, 20, 3],
      [588, 15, 20, 4.8],
      [627, 20, 17, 4.7],
    ],
    floor: 0.1,
    scattering: 0.35,
  },
  ultramarine: {
    bands: [
      [598, 46, 34, 8],
      [540, 30, 30, 1.5],
    ],
    floor: 0.05,
    scattering: 0.16,
  },
  phthalo: {
    bands: [
      [610, 36, 26, 13],
      [690, 26, 26, 12],
      [560, 24, 24, 2],
    ],
    edges: [[392, 14, 3]],
    floor: 0.15,
    scattering: 0.1,
  },
  'green-oxide': {
    bands: [
      [458, 30, 28, 4],
      [602, 26, 42, 4.4],
      [690, 12, 14, 0.6],
    ],
    floor: 0.3,
    scattering: 0.55,
  },
  viridian: {
    bands: [
      [430, 34, 20, 5],
      [600, 40, 60, 5.5],
      [684, 7, 8, 0.9],
    ],
    floor: 0.12,
    scattering: 0.12,
  },
  'bright-yellow': {
    edges: [
      [489, 9, 9],
      [515, 14, 0.35],
    ],
    floor: 0.02,
    scattering: 0.4,
  },
  magenta: {
    bands: [
      [534, 20, 14, 8],
      [566, 14, 12, 8.5],
      [500, 24, 20, 3],
    ],
    edges: [[400, 20, 1.5]],
    floor: 0.04,
    scattering: 0.12,
  },
  'orange-red': {
    edges: [[590, 10, 8]],
    bands: [[470, 40, 40, 1.2]],
    floor: 0.03,
    scattering: 0.35,
  },
  white: { edges: [[402, 9, 0.9]], floor: 0.0012, scattering: 1 },
};

/** One making of a colourant: shifted bands, other heights, a blemish of its own. */
export function makeColourant(id: string, recipe: ColourantRecipe, random: Random): Colourant {
  const shift = () => 4.5 * random.gaussian();
  const scale = (by: number) => Math.exp(by * random.gaussian());
  const bands = (recipe.bands ?? []).map(([p, a, b, h]): Band => [
    p + shift(),
    a * scale(0.1),
    b * scale(0.1),
    h * scale(0.12),
  ]);
  const edges = (recipe.edges ?? []).map(([at, width, h]): Edge => [
    at + shift(),
    width * scale(0.12),
    h * scale(0.12),
  ]);
  const blemish: Band = [
    random.range(430, 690),
    random.range(6, 30),
    random.range(6, 30),
    id === 'white' ? 0 : (recipe.floor + 0.1) * random.range(0, 0.6),
  ];
  const slope = random.range(0.2, 1.4);
  const absorption = spectrumOf(
    (nm) =>
      recipe.floor +
      edges.reduce((sum, [at, width, h]) => sum + h * (1 - edge(nm, at, width)), 0) +
      [...bands, blemish].reduce((sum, [p, a, b, h]) => sum + h * skewedBell(nm, p, a, b), 0),
  );
  const scattering = spectrumOf((nm) => {
    // Scattering rises where absorption falls off (anomalous dispersion): the hook beyond an edge.
    const hook = edges.reduce((sum, [at, w]) => sum + 0.25 * skewedBell(nm, at + w, w, 2.5 * w), 1);
    return recipe.scattering * (550 / nm) ** slope * hook;
  });
  return { id, absorption, scattering };
}

function makeAll(seed: number): ReadonlyMap<string, Colourant> {
  const random = new Random(seed);
  return new Map(
    Object.entries(RECIPES).map(
      ([id, recipe]) => [id, makeColourant(id, recipe, random.fork())] as const,
    ),
  );
}

const SETS: Readonly<Record<Part, ReadonlyMap<string, Colourant>>> = {
  tune: makeAll(310),
  judge: makeAll(727),
};

export function colourant(part: Part, id: string): Colourant {
  const found = SETS[part].get(id);
  if (!found) throw new RangeError(`no colourant called "${id}"`);
  return found;
}

/** Surface reflection from outside and inside (Saunderson 1942), refractive index about 1.5. */
const OUTSIDE = 0.04;
const INSIDE = 0.58;

/** Reflectance, specular excluded, of a film that hides: amounts by colourant, any common scale. */
export function mixed(parts: readonly (readonly [Colourant, number])[]): Spectrum {
  const result = new Float64Array(BAND_COUNT);
  for (let i = 0; i < BAND_COUNT; i++) {
    let K = 0;
    let S = 0;
    for (const [{ absorption, scattering }, amount] of parts) {
      K += amount * absorption[i]!;
      S += amount * scattering[i]!;
    }
    const ratio = K / Math.max(S, 1e-9);
    const infinite = 1 + ratio - Math.sqrt(ratio * ratio + 2 * ratio);
    result[i] = ((1 - OUTSIDE) * (1 - INSIDE) * infinite) / (1 - INSIDE * infinite);
  }
  return result;
}
