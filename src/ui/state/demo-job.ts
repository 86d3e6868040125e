/** The job that is there at the first visit: an invented piece, ready on the demo bench. */
import { labD65 } from '../../colour/spaces.ts';
import { SCHEMA_VERSION } from '../../job/commission.ts';
import type { Id } from '../../job/ids.ts';
import type { AnyRecord, Palette } from '../../job/records.ts';
import type { Store } from '../../store/store.ts';

export function demoPalette(id: Id<'palette'>, at: Date): Palette {
  return {
    kind: 'palette',
    schema: SCHEMA_VERSION,
    id,
    createdAt: at.toISOString(),
    updatedAt: at.toISOString(),
    name: 'Demo palette',
    notes: 'Invented paints: the spectra behind these colours are made up for the demo bench.',
    doseUnits: [],
    smallest: 0.002,
    pigments: [
      {
        id: 'white',
        name: 'titanium white',
        colourIndex: 'PW 6',
        isWhite: true,
        masstone: labD65(96, -0.6, 2.2),
      },
      {
        id: 'blue',
        name: 'cobalt blue',
        colourIndex: 'PB 28',
        masstone: labD65(28, 18, -48),
        tint: { lab: labD65(66, -4, -32), pigment: 1, white: 9 },
      },
    ],
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
    },
    {
      ...common,
      kind: 'piece',
      id: piece,
      name: 'Covered butter dish',
      reference: 'demo 1',
      description: 'An invented glazed earthenware dish with a chip filled at the rim.',
      conditionAsFound: 'Chip at the rim, filled and smoothed.',
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
      pot: { white: 5, blue: 0.05 },
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
