/**
 * A paint box that the estimator does not know: invented K and S with steep edges and hooks on the
 * 5 nm table grid, surface constants and a departure from Kubelka–Munk drawn for every session.
 * Shares nothing with src/paint; only the observer and lamp tables and CIELAB are common.
 */
import { labFromXyzD65, WHITE_D65 } from '../../src/colour/cielab.ts';
import { TABLE_BANDS, TABLE_WAVELENGTHS_NM } from '../../src/colour/grid.ts';
import { D65 } from '../../src/colour/illuminants.ts';
import { OBSERVER_1931 } from '../../src/colour/observers.ts';
import { xyzD65, type LabD65 } from '../../src/colour/spaces.ts';

/** Seeded random numbers: uniform in 0–1 and standard normal. */
export interface Random {
  readonly uniform: () => number;
  readonly normal: () => number;
}

/** Mulberry32, a 32-bit generator; normals by Box and Muller. */
export function randomFrom(seed: number): Random {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

export interface TruePigment {
  readonly id: string;
  readonly colourIndex: string;
  readonly K: Float64Array;
  readonly S: Float64Array;
}

/** Amounts by pigment id, any unit of mass. */
export type Amounts = Readonly<Record<string, number>>;

/** One session's paint box and its optics. */
export interface PaintBox {
  readonly pigments: readonly TruePigment[];
  /** True Lab of an opaque film of the mixture. */
  readonly labOf: (amounts: Amounts) => LabD65;
}

interface Shape {
  readonly colourIndex: string;
  /** Level of K away from all features, relative to white's S = 1. */
  readonly floor: number;
  /** Absorption bands: centre nm, half-width nm, height. */
  readonly bands?: readonly (readonly [number, number, number])[];
  /** Absorption edges: absorbs below (positive width) or above (negative width), height. */
  readonly edges?: readonly (readonly [number, number, number])[];
  /** ln K falls by this much from 380 to 730 nm. */
  readonly tilt?: number;
  readonly S: number;
  /** Change of ln S from 380 to 730 nm. */
  readonly tiltS?: number;
}

/** How a paint box is made, beside what chance draws. */
export interface Make {
  /** Scale of the departures from Kubelka–Munk; 1 is slight. */
  readonly departure: number;
  /** Factor on the width of bands and edges: 0.4 makes every flank steep. */
  readonly widths: number;
  /** Narrow extra bands on every coloured pigment: hooks and shoulders. */
  readonly hooks: number;
  /** Factor on the K of the staining pigments, whose S falls as much. */
  readonly staining: number;
  /** Factor on the K of the earths. */
  readonly earths: number;
  /** The white: factor on its S, and change of its ln S from 380 to 730 nm beside the usual. */
  readonly whiteS: number;
  readonly whiteTilt: number;
  /** Saunderson's constants; drawn for every box when absent. */
  readonly surface?: { readonly k1: number; readonly k2: number };
}
export const USUAL_MAKE: Make = {
  departure: 1,
  widths: 1,
  hooks: 0,
  staining: 1,
  earths: 1,
  whiteS: 1,
  whiteTilt: 0,
};
const STAINING: readonly string[] = ['phthalo', 'quinacridone', 'carbon', 'hansa'];
const EARTHS: readonly string[] = ['ochre', 'umber', 'sienna', 'ironyellow'];

const SHAPES: Readonly<Record<string, Shape>> = {
  white: { colourIndex: 'PW 6', floor: 0.0012, edges: [[398, 6, 0.5]], S: 1, tiltS: -0.5 },
  black: { colourIndex: 'PBk 11', floor: 16, tilt: 0.3, S: 0.4 },
  carbon: { colourIndex: 'PBk 7', floor: 38, tilt: 0.2, S: 0.25, tiltS: -0.3 },
  ultramarine: {
    colourIndex: 'PB 29',
    floor: 0.05,
    bands: [
      [600, 42, 7],
      [540, 35, 2],
      [400, 25, 0.3],
    ],
    S: 0.15,
  },
  cobalt: {
    colourIndex: 'PB 28',
    floor: 0.06,
    bands: [
      [545, 17, 1.6],
      [585, 18, 2.6],
      [628, 19, 2.8],
      [490, 25, 0.25],
      [390, 20, 0.2],
    ],
    S: 0.35,
  },
  phthalo: {
    colourIndex: 'PB 15',
    floor: 0.6,
    bands: [
      [612, 28, 26],
      [690, 32, 30],
      [570, 25, 9],
      [370, 40, 9],
    ],
    S: 0.12,
  },
  viridian: {
    colourIndex: 'PG 18',
    floor: 0.15,
    bands: [
      [430, 38, 2.4],
      [600, 40, 2.8],
      [680, 40, 1.8],
    ],
    S: 0.2,
  },
  chrome: {
    colourIndex: 'PG 17',
    floor: 0.8,
    bands: [
      [425, 38, 4],
      [610, 38, 4.5],
      [375, 20, 3],
    ],
    S: 0.9,
  },
  cobaltgreen: {
    colourIndex: 'PG 50',
    floor: 0.25,
    bands: [
      [620, 45, 2],
      [665, 30, 1.6],
      [420, 40, 1.2],
    ],
    S: 0.5,
  },
  ochre: {
    colourIndex: 'PY 43',
    floor: 0.12,
    edges: [
      [520, 17, 2.6],
      [440, 22, 1.2],
    ],
    bands: [
      [660, 45, 0.15],
      [900, 120, 0.5],
    ],
    S: 0.45,
  },
  ironyellow: {
    colourIndex: 'PY 42',
    floor: 0.15,
    edges: [
      [530, 13, 5],
      [450, 20, 3],
    ],
    bands: [[650, 40, 0.25]],
    S: 0.7,
  },
  cadmium: { colourIndex: 'PY 35', floor: 0.015, edges: [[498, 6, 5.5]], S: 0.75 },
  hansa: { colourIndex: 'PY 74', floor: 0.02, edges: [[490, 9, 9]], bands: [[430, 30, 5]], S: 0.2 },
  ironred: {
    colourIndex: 'PR 101',
    floor: 0.6,
    edges: [
      [578, 9, 9],
      [520, 40, 5],
    ],
    bands: [[680, 45, 0.3]],
    S: 1.1,
  },
  cadred: { colourIndex: 'PR 108', floor: 0.03, edges: [[598, 8, 6]], S: 0.7 },
  quinacridone: {
    colourIndex: 'PV 19',
    floor: 0.12,
    bands: [
      [560, 20, 13],
      [525, 24, 12],
      [480, 30, 3],
    ],
    S: 0.1,
  },
  umber: {
    colourIndex: 'PBr 7',
    floor: 1.4,
    edges: [
      [560, 45, 4],
      [450, 40, 4],
    ],
    tilt: 1.2,
    S: 0.3,
  },
  sienna: {
    colourIndex: 'PBr 6',
    floor: 0.4,
    edges: [
      [555, 22, 5],
      [470, 30, 3],
    ],
    tilt: 0.5,
    S: 0.35,
  },
};

/** A pigment of no known kind: a few bands and an edge anywhere. */
function oddShape({ uniform }: Random): Shape {
  const between = (low: number, high: number) => low + (high - low) * uniform();
  return {
    colourIndex: 'unknown',
    floor: Math.exp(between(-4, 0)),
    bands: Array.from({ length: 1 + Math.floor(3 * uniform()) }, () => [
      between(400, 720),
      between(15, 70),
      Math.exp(between(-1, 2.7)),
    ]),
    edges: [[between(420, 640), between(-25, 25) || 10, Math.exp(between(-2, 2.2))]],
    tilt: between(-1, 1),
    S: Math.exp(between(-2.2, 0.3)),
    tiltS: between(-0.5, 0.5),
  };
}

/** Draws a paint box: the K and S of an id that is not known are drawn from nothing; of the
 * others every feature moved, widened and scaled a little, then the optics. */
export function paintBox(
  ids: readonly string[],
  random: Random,
  make: Make = USUAL_MAKE,
): PaintBox {
  const { normal, uniform } = random;
  const { departure } = make;
  const pigments = ids.map((id) => drawPigment(id, SHAPES[id] ?? oddShape(random), make, random));
  // Surface: Fresnel loss and internal reflection as paints scatter round the theory of n = 1.5.
  const drawn = { k1: 0.02 + 0.03 * uniform(), k2: 0.4 + 0.25 * uniform() };
  const { k1, k2 } = make.surface ?? drawn;
  // Departures from Kubelka–Munk, each slight: strength grows slower than mass, pigments shade each
  // other, and the film scatters a little less than the theory when it is dark.
  const sublinear = 1 - 0.08 * departure * uniform();
  const interaction = 0.12 * departure * normal();
  const surfaceExponent = 1 + 0.03 * departure * normal();
  const byId = new Map(pigments.map((pigment) => [pigment.id, pigment]));

  const labOf = (amounts: Amounts): LabD65 => {
    const parts = Object.entries(amounts).filter(([, amount]) => amount > 0);
    const total = parts.reduce((sum, [, amount]) => sum + amount, 0);
    const K = new Float64Array(TABLE_BANDS);
    const S = new Float64Array(TABLE_BANDS);
    let pairs = 1;
    for (const [id, amount] of parts) {
      const share = amount / total;
      const c = id === 'white' ? share : share ** sublinear;
      pairs -= share ** 2;
      const pigment = byId.get(id)!;
      for (let k = 0; k < TABLE_BANDS; k++) {
        K[k]! += c * pigment.K[k]!;
        S[k]! += c * pigment.S[k]!;
      }
    }
    const XYZ = [0, 0, 0];
    const white = [0, 0, 0];
    for (let k = 0; k < TABLE_BANDS; k++) {
      const q = (K[k]! / S[k]!) * (1 + interaction * pairs);
      const internal = (1 + q - Math.sqrt(q * q + 2 * q)) ** surfaceExponent;
      const read = ((1 - k1) * (1 - k2) * internal) / (1 - k2 * internal);
      const bars = [OBSERVER_1931.xBar[k]!, OBSERVER_1931.yBar[k]!, OBSERVER_1931.zBar[k]!];
      for (let axis = 0; axis < 3; axis++) {
        const weight = D65.power[k]! * bars[axis]!;
        XYZ[axis]! += weight * read;
        white[axis]! += weight;
      }
    }
    return labFromXyzD65(
      xyzD65(
        (XYZ[0]! / white[0]!) * WHITE_D65[0],
        (XYZ[1]! / white[1]!) * WHITE_D65[1],
        (XYZ[2]! / white[2]!) * WHITE_D65[2],
      ),
    );
  };
  return { pigments, labOf };
}

function drawPigment(
  id: string,
  shape: Shape,
  make: Make,
  { normal, uniform }: Random,
): TruePigment {
  const K = new Float64Array(TABLE_BANDS);
  const S = new Float64Array(TABLE_BANDS);
  const isWhite = id === 'white';
  const move = isWhite ? 2 : 6;
  const strength = isWhite ? 1 : Math.exp(0.3 * normal());
  const bands = (shape.bands ?? []).map(
    ([centre, width, height]) =>
      [
        centre + move * normal(),
        make.widths * width * Math.exp(0.15 * normal()),
        height * Math.exp(0.25 * normal()),
      ] as const,
  );
  const edges = (shape.edges ?? []).map(
    ([centre, width, height]) =>
      [
        centre + move * normal(),
        make.widths * width * Math.exp(0.25 * normal()),
        height * Math.exp(0.25 * normal()),
      ] as const,
  );
  const floor = shape.floor * Math.exp(0.3 * normal());
  const levelS = isWhite ? 1 : shape.S * Math.exp(0.25 * normal());
  const tilt = (shape.tilt ?? 0) + 0.15 * normal();
  const tiltS = (shape.tiltS ?? 0) + 0.15 * normal();
  const ripple = Array.from({ length: 4 }, (_, order) => ({
    period: 220 / (order + 1),
    phase: 2 * Math.PI * uniform(),
    height: 0.06 * normal(),
  }));
  const hooks = Array.from({ length: isWhite ? 0 : make.hooks }, () => ({
    centre: 410 + 290 * uniform(),
    width: 6 + 12 * uniform(),
    height: 0.7 * normal(),
  }));
  const staining = STAINING.includes(id) ? make.staining : 1;
  const levelK = staining * (EARTHS.includes(id) ? make.earths : 1);
  const scatter = (isWhite ? make.whiteS : 1) / staining;
  const slopeS = isWhite ? make.whiteTilt : 0;
  TABLE_WAVELENGTHS_NM.forEach((nm, k) => {
    let value = floor;
    for (const [centre, width, height] of bands)
      value += height * Math.exp(-(((nm - centre) / width) ** 2));
    for (const [centre, width, height] of edges)
      value += height / (1 + Math.exp((nm - centre) / width));
    for (const { centre, width, height } of hooks)
      value *= Math.exp(height * Math.exp(-(((nm - centre) / width) ** 2)));
    const along = (nm - 555) / 350;
    const rippled = ripple.reduce(
      (sum, { period, phase, height }) =>
        sum + height * Math.sin((2 * Math.PI * nm) / period + phase),
      0,
    );
    K[k] = levelK * strength * value * Math.exp(-tilt * along + rippled);
    S[k] = scatter * levelS * Math.exp((tiltS + slopeS) * along);
  });
  return { id, colourIndex: shape.colourIndex, K, S };
}
