/**
 * Generic pigments by Colour Index name, for a palette that has not been read yet and for the demo
 * bench. Every spectrum here is invented: a few absorption bands and edges that give about the
 * colour the name stands for. No paint was measured, and no paint will match.
 */
import { BANDS, WAVELENGTHS_NM } from '../colour/grid.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import { SURFACE } from './kubelka-munk.ts';
import type { PalettePigment } from './types.ts';

interface Invented {
  readonly id: string;
  readonly colourIndex: string;
  /** K, relative to the S of white, at a wavelength in nm. */
  readonly K: (nm: number) => number;
  /** S relative to that of white, the same at every wavelength. */
  readonly S: number;
}

const band = (nm: number, centre: number, width: number) =>
  Math.exp(-(((nm - centre) / width) ** 2));
/** 1 well below `centre`, 0 well above it. */
const edge = (nm: number, centre: number, width: number) =>
  1 / (1 + Math.exp((nm - centre) / width));

const INVENTED: readonly Invented[] = [
  { id: 'white', colourIndex: 'PW 6', S: 1, K: (nm) => 0.0008 + 0.3 * edge(nm, 392, 7) },
  { id: 'black', colourIndex: 'PBk 11', S: 0.4, K: (nm) => 17 - 2 * ((nm - 380) / 350) },
  {
    id: 'ultramarine',
    colourIndex: 'PB 29',
    S: 0.18,
    K: (nm) => 0.06 + 6 * band(nm, 598, 55) + 0.8 * band(nm, 520, 40),
  },
  {
    id: 'cobalt blue',
    colourIndex: 'PB 28',
    S: 0.35,
    K: (nm) => 0.07 + 2.4 * band(nm, 590, 34) + 2 * band(nm, 632, 26) + 0.9 * band(nm, 540, 26),
  },
  {
    id: 'viridian',
    colourIndex: 'PG 18',
    S: 0.22,
    K: (nm) => 0.16 + 2.2 * band(nm, 425, 42) + 2.9 * band(nm, 618, 58) + band(nm, 700, 40),
  },
  {
    id: 'yellow oxide',
    colourIndex: 'PY 42',
    S: 0.6,
    K: (nm) => 0.06 + 3.4 * edge(nm, 520, 15) + 0.1 * band(nm, 650, 45),
  },
  {
    id: 'red oxide',
    colourIndex: 'PR 101',
    S: 1,
    K: (nm) => 0.3 + 6 * edge(nm, 576, 10) + 2 * edge(nm, 510, 35),
  },
  {
    id: 'umber',
    colourIndex: 'PBr 7',
    S: 0.32,
    K: (nm) => 0.5 + 3.5 * edge(nm, 540, 50) + 0.8 * edge(nm, 640, 50),
  },
  {
    id: 'cadmium yellow',
    colourIndex: 'PY 35',
    S: 0.7,
    K: (nm) => 0.02 + 5 * edge(nm, 500, 8),
  },
  {
    id: 'rose',
    colourIndex: 'PV 19',
    S: 0.12,
    K: (nm) => 0.12 + 12 * band(nm, 545, 38) + 2 * band(nm, 470, 40),
  },
];

/** Parts of white to one of pigment in a generic tint. */
const TINT_PARTS = 9;
const WHITE = INVENTED[0]!;

/** The eight of the demo bench. */
const DEMO = ['PW 6', 'PBk 11', 'PB 29', 'PB 28', 'PG 18', 'PY 42', 'PR 101', 'PBr 7'];

/** Names of all generic pigments. */
export const GENERIC_NAMES: readonly string[] = INVENTED.map(({ colourIndex }) => colourIndex);

/** A generic pigment by Colour Index name ("PB 28"), masstone and tint invented; undefined if there is none. */
export function genericPigment(colourIndex: string): PalettePigment | undefined {
  const wanted = plain(colourIndex);
  const invented = INVENTED.find((one) => plain(one.colourIndex) === wanted);
  if (!invented) return undefined;
  const { id, colourIndex: name } = invented;
  const masstone = colourOf(invented, 1, 0);
  if (invented === WHITE) return { id, colourIndex: name, isWhite: true, masstone };
  const lab = colourOf(invented, 1, TINT_PARTS);
  return { id, colourIndex: name, masstone, tint: { lab, pigment: 1, white: TINT_PARTS } };
}

/** The demo palette: eight generic pigments, white first. */
export function genericPalette(): PalettePigment[] {
  return DEMO.map((name) => genericPigment(name)!);
}

function colourOf({ K, S }: Invented, parts: number, white: number): LabD65 {
  const kOverS = new Float64Array(BANDS);
  WAVELENGTHS_NM.forEach((nm, index) => {
    kOverS[index] = (parts * K(nm) + white * WHITE.K(nm)) / (parts * S + white * WHITE.S);
  });
  return labOfOpaqueFilm(kOverS, SURFACE);
}

const plain = (name: string) => name.toUpperCase().replace(/\s+/g, '');
