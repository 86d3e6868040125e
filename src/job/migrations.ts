/** Records written by older versions are brought up to date one step at a time, and never in place. */
import { SCHEMA_VERSION } from './commission.ts';
import type { Fault } from './faults.ts';

type Fields = Readonly<Record<string, unknown>>;
/** From version n to n + 1, for records of every kind. */
export type MigrationStep = (old: Fields) => Fields;

/** Step n takes version n + 1 to n + 2. */
const STEPS: readonly MigrationStep[] = [namedDoses];

/** 2: a pigment may be uncharacterised, and a dose is a drop or a touch; before, it had any name. */
function namedDoses(old: Fields): Fields {
  if (old['kind'] !== 'palette') return old;
  const named = (holder: unknown): unknown => {
    if (!isGroup(holder) || !Array.isArray(holder['doseUnits'])) return holder;
    const doseUnits = holder['doseUnits'].map((unit: unknown) =>
      isGroup(unit) && typeof unit['name'] === 'string'
        ? { ...unit, name: /drop/i.test(unit['name']) ? 'drop' : 'touch' }
        : unit,
    );
    return { ...holder, doseUnits };
  };
  const { pigments } = old;
  const palette = Array.isArray(pigments) ? { ...old, pigments: pigments.map(named) } : old;
  return named(palette) as Fields;
}
const isGroup = (value: unknown): value is Fields => typeof value === 'object' && value !== null;

export type Migrated =
  | { readonly ok: true; readonly record: Fields; readonly from: number }
  | { readonly ok: false; readonly fault: Fault };

function refused(message: string): Migrated {
  return { ok: false, fault: { path: 'schema', field: 'version of the record’s form', message } };
}

/**
 * Brings a record up to date.
 * @param steps the chain of migrations; the newest version is one more than its length
 */
export function migrate(record: Fields, steps: readonly MigrationStep[] = STEPS): Migrated {
  const newest = steps.length + 1;
  const from = record['schema'];
  if (typeof from !== 'number' || !Number.isInteger(from) || from < 1) {
    return refused('is missing or not a whole number');
  }
  if (from > newest) {
    return refused(
      `was written by a newer version of this tool (form ${from}; this one knows up to ${newest}): update the tool, then try again`,
    );
  }
  let current = record;
  for (let version = from; version < newest; version++) {
    current = { ...steps[version - 1]!(current), schema: version + 1 };
  }
  return { ok: true, record: current, from };
}

if (STEPS.length + 1 !== SCHEMA_VERSION) throw new Error('a migration step is missing');
