/** Job, piece, area and photograph: what is treated, and how it looks. */
import * as v from 'valibot';
import {
  count,
  instant,
  line,
  listOf,
  measuredLab,
  text,
  thresholds,
  tile,
  titled,
} from './fields.ts';
import { idForm, idPattern, type Id, type Kind } from './ids.ts';

/** Version of the records' form. Raise it together with a step in migrations.ts. */
export const SCHEMA_VERSION = 2;

export function idOf<K extends Kind>(kind: K): v.GenericSchema<Id<K>> {
  return v.pipe(
    v.string(),
    v.regex(idPattern(kind), `must be an id of the form ${idForm(kind)}`),
  ) as unknown as v.GenericSchema<Id<K>>;
}
export function kindAndDates<K extends Kind>(kind: K) {
  return {
    kind: titled('kind of record', v.literal(kind)),
    schema: titled('version of the record’s form', v.literal(SCHEMA_VERSION)),
    id: titled('id', idOf(kind)),
    createdAt: titled('date made', instant),
    updatedAt: titled('date last changed', instant),
    /** Set while it lies in the bin. */
    deletedAt: v.exactOptional(titled('date deleted', instant)),
  };
}

/** The commission. It names no client: what identifies it is the restorer's own choice. */
export const job = v.strictObject({
  ...kindAndDates('job'),
  title: titled('title of the job', line()),
  notes: titled('notes', text()),
  /** The tile this job is read against, so that the second of a pair meets the same white. */
  tile: v.exactOptional(titled('tile of the job', tile)),
  lamp: v.exactOptional(titled('lamp of the job', line(80))),
});

/** Something used on the piece besides the paints: fill, adhesive, medium, thinner, coating. */
const material = v.strictObject({
  name: titled('generic name of the material', line()),
  use: titled('use of the material', text(200)),
  /** As the restorer says it: "about 3 g", "two coats". */
  quantity: titled('quantity of the material', text(200)),
});

/** The object. The texts are what a treatment record asks for; empty until they are written. */
export const piece = v.strictObject({
  ...kindAndDates('piece'),
  name: titled('name of the piece', line()),
  /** Inventory or accession number, or a mark. */
  reference: titled('reference of the piece', text(200)),
  description: titled('description', text()),
  conditionAsFound: titled('condition as found', text()),
  treatment: titled('treatment', text()),
  reversibility: titled('reversibility note', text()),
  treatedBy: titled('who did it', text(200)),
  materials: titled('materials', listOf(material, 0, 200)),
  notes: titled('notes', text()),
});

/** One colour field of a piece: ground, band, rim. */
export const area = v.strictObject({
  ...kindAndDates('area'),
  name: titled('name of the area', line()),
  notes: titled('notes', text()),
  /** The glaze to be met, CIELAB D65/2°, once it has been read or carried over. */
  targetLab: v.exactOptional(titled('target glaze', measuredLab)),
  /** The person's own thresholds for this area; absent: those of the settings. */
  thresholds: v.exactOptional(titled('thresholds', thresholds)),
  palette: v.exactOptional(titled('palette of the area', idOf('palette'))),
  /** The area this one must match: the second of a pair, or the same piece years later. */
  matches: v.exactOptional(titled('area it must match', idOf('area'))),
});

export const pictureStage = v.picklist(['before', 'during', 'after']);

/** A photograph of the piece; the picture itself is its attachment `picture`. */
export const picture = v.strictObject({
  ...kindAndDates('picture'),
  stage: titled('stage of the photograph', pictureStage),
  /** The area it shows; absent: the whole piece. */
  area: v.exactOptional(titled('area of the photograph', idOf('area'))),
  caption: titled('caption', text(500)),
  takenAt: titled('date taken', instant),
  width: titled('width in pixels', count(1, 100_000)),
  height: titled('height in pixels', count(1, 100_000)),
});
