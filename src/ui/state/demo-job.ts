/** The job that is there at the first visit: an invented piece, ready on the demo bench. */
import { labD65 } from '../../colour/spaces.ts';
import { SCHEMA_VERSION } from '../../job/commission.ts';
import type { Id } from '../../job/ids.ts';
import type { Pigment } from '../../job/mixing.ts';
import type { AnyRecord, Job, Palette } from '../../job/records.ts';
import type { Store } from '../../store/store.ts';

type Three = readonly [number, number, number];

function pigment(
  id: string,
  colourIndex: string,
  name: string,
  masstone: Three,
  tint?: Three,
): Pigment {
  return {
    id,
    name,
    colourIndex,
    masstone: labD65(...masstone),
    ...(tint ? { tint: { lab: labD65(...tint), pigment: 1, white: 9 } } : { isWhite: true }),
  };
}

/**
 * The paints of the demo bench as its own camera reads them, CIELAB D65/2°; a test holds them to the
 * renderer's. The spectra behind them are invented.
 */
export const DEMO_PIGMENTS: readonly Pigment[] = [
  pigment('white', 'PW 6', 'titanium white', [94.7, -0.3, 0.2]),
  pigment('blue', 'PB 29', 'ultramarine', [23.1, 26.5, -54.8], [61.7, 4.7, -42]),
  pigment('yellow-earth', 'PY 42', 'yellow earth', [45.6, 13.5, 53.2], [74, 7.4, 36.8]),
  pigment('red-oxide', 'PR 101', 'red iron oxide', [27.2, 36.1, 19.2], [54.5, 33.9, 14.9]),
  pigment('green', 'PG 18', 'viridian', [15.6, -12.3, -7], [61.8, -17.2, -7.4]),
  pigment('umber', 'PBr 7', 'raw umber', [20.1, 8.6, 10.4], [59.3, 7.6, 9.2]),
  pigment('black', 'PBk 11', 'iron oxide black', [4, -0.4, 0.2], [39.9, -1.1, 0.1]),
  pigment('bright-yellow', 'PY 74', 'bright yellow', [68.8, -0.3, 71.9], [87.4, -8.1, 69.9]),
];

/** The demo bench's tile, as if its owner had had it measured. */
export const DEMO_TILE: NonNullable<Job['tile']> = {
  name: 'Tile of the demo bench',
  lab: labD65(92.6, 0, 0.7),
  standardUncertainty: [0.5, 0.2, 0.3],
};

/** A first mix that is in sight of the glaze but does not blend. */
export const FIRST_POT = { white: 5, blue: 0.02 };

export function demoPalette(id: Id<'palette'>, at: Date): Palette {
  return {
    kind: 'palette',
    schema: SCHEMA_VERSION,
    id,
    createdAt: at.toISOString(),
    updatedAt: at.toISOString(),
    name: 'Demo palette',
    notes: 'Invented paints, named by what they stand for; their spectra are made up.',
    doseUnits: [
      { name: 'drop', grams: 0.04 },
      { name: 'touch', grams: 0.01 },
    ],
    smallest: 0.002,
    pigments: [...DEMO_PIGMENTS],
  };
}

/** Makes the demo job with its first mix, and gives its area. */
export async function seedDemo(store: Store): Promise<Id<'area'>> {
  const at = store.now();
  const dates = { createdAt: at.toISOString(), updatedAt: at.toISOString() };
  const common = { schema: SCHEMA_VERSION, ...dates } as const;
  const palette = demoPalette(store.newId('palette'), at);
  const job = store.newId('job');
  const piece = store.newId('piece', job);
  const area = store.newId('area', piece);
  const records: readonly AnyRecord[] = [
    palette,
    {
      ...common,
      kind: 'job',
      id: job,
      title: 'Demo: the Sollwick dresser',
      notes: 'An invented job to try the bench with. Nothing here is a real piece.',
      tile: DEMO_TILE,
    },
    {
      ...common,
      kind: 'piece',
      id: piece,
      name: 'Covered butter dish',
      reference: 'demo 1',
      description: 'An invented glazed earthenware dish with a blue rim band.',
      conditionAsFound: 'A chip in the cover, filled and smoothed.',
      treatment: '',
      reversibility: '',
      treatedBy: '',
      materials: [],
      notes: '',
    },
    { ...common, kind: 'area', id: area, name: 'ground', notes: '', palette: palette.id },
    {
      ...common,
      kind: 'attempt',
      id: store.newId('attempt', area),
      palette: palette.id,
      pot: FIRST_POT,
      addition: {},
      note: '',
    },
  ];
  for (const record of records) {
    const kept = await store.put(record);
    if (!kept.ok) throw new Error(kept.message);
  }
  return area;
}
