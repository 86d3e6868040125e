/**
 * The paints of the demo bench: pigments by Colour Index generic name with invented spectra, mixed
 * by mass with the generator's own Kubelka–Munk. What a restorer would know of them (colours read by
 * camera) is in `DemoBench.palette`; the spectra stay here.
 */
import { makeColourant, type Colourant, type ColourantRecipe } from './colourants.ts';
import { Random } from './random.ts';

export interface DemoPigment {
  readonly id: string;
  readonly name: string;
  readonly colourIndex: string;
  readonly isWhite: boolean;
  readonly colourant: Colourant;
}

type Entry = readonly [id: string, name: string, colourIndex: string, recipe: ColourantRecipe];

/** Absorption and scattering per gram against white; every figure invented. */
const ENTRIES: readonly Entry[] = [
  ['white', 'titanium white', 'PW 6', { edges: [[403, 9, 0.9]], floor: 0.0009, scattering: 1 }],
  [
    'blue',
    'ultramarine',
    'PB 29',
    {
      bands: [
        [552, 26, 20, 1.9],
        [590, 18, 22, 4],
        [631, 21, 22, 4.2],
        [692, 28, 40, 0.4],
      ],
      floor: 0.09,
      scattering: 0.3,
    },
  ],
  [
    'yellow-earth',
    'yellow earth',
    'PY 42',
    {
      edges: [
        [510, 22, 4],
        [576, 20, 0.5],
      ],
      bands: [[648, 26, 40, 0.25]],
      floor: 0.09,
      scattering: 0.5,
    },
  ],
  [
    'red-oxide',
    'red iron oxide',
    'PR 101',
    {
      edges: [
        [585, 13, 7],
        [520, 30, 2],
      ],
      bands: [[664, 20, 26, 0.5]],
      floor: 0.26,
      scattering: 0.65,
    },
  ],
  [
    'green',
    'viridian',
    'PG 18',
    {
      bands: [
        [428, 34, 22, 4],
        [602, 42, 60, 4.6],
        [684, 8, 9, 0.8],
      ],
      floor: 0.14,
      scattering: 0.16,
    },
  ],
  ['umber', 'raw umber', 'PBr 7', { edges: [[555, 85, 3.4]], floor: 0.9, scattering: 0.35 }],
  [
    'black',
    'iron oxide black',
    'PBk 11',
    { bands: [[430, 80, 400, 2]], floor: 9, scattering: 0.25 },
  ],
  [
    'bright-yellow',
    'bright yellow',
    'PY 74',
    {
      edges: [
        [488, 10, 7],
        [516, 14, 0.3],
      ],
      floor: 0.02,
      scattering: 0.35,
    },
  ],
];

export const DEMO_PIGMENTS: readonly DemoPigment[] = (() => {
  const random = new Random(5150);
  return ENTRIES.map(([id, name, colourIndex, recipe]) => ({
    id,
    name,
    colourIndex,
    isWhite: id === 'white',
    colourant: makeColourant(id, recipe, random.fork()),
  }));
})();

/** Grams by pigment id or Colour Index name → the parts of a mix; undefined for an empty pot. */
export function potMix(
  pot: Readonly<Record<string, number>>,
): readonly (readonly [Colourant, number])[] | undefined {
  const parts = DEMO_PIGMENTS.flatMap(({ id, colourIndex, colourant }) => {
    const grams = (pot[id] ?? 0) + (pot[colourIndex] ?? 0);
    return grams > 0 ? [[colourant, grams] as const] : [];
  });
  return parts.length > 0 ? parts : undefined;
}

/**
 * A pale bluish grey: what the paints could be mixed to but for a stain of iron in the glaze that no
 * paint has, so that a match is in reach and never quite the same under every lamp.
 */
export const DEMO_GLAZE: readonly (readonly [Colourant, number])[] = [
  ...(potMix({ white: 5, blue: 0.046, 'yellow-earth': 0.004, black: 0.009 }) ?? []),
  [
    makeColourant(
      'iron',
      {
        edges: [
          [440, 44, 3],
          [530, 60, 1],
        ],
        floor: 0.5,
        scattering: 0.1,
      },
      new Random(6021),
    ),
    0.04,
  ],
];
