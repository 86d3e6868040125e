/** Any valid record, made from the schema that checks it. */
import fc from 'fast-check';
import * as v from 'valibot';
import type { Kind } from '../../src/job/ids.ts';
import { SCHEMAS, type RecordOf } from '../../src/job/records.ts';

type Schema = v.GenericSchema;
interface Parts {
  readonly type: string;
  readonly pipe?: readonly Parts[];
  readonly requirement?: unknown;
  readonly entries?: Readonly<Record<string, Schema>>;
  readonly items?: readonly Schema[];
  readonly item?: Schema;
  readonly key?: Schema;
  readonly value?: Schema;
  readonly wrapped?: Schema;
  readonly literal?: unknown;
  readonly options?: readonly unknown[];
}

/** JSON has one zero only. */
const real = (min: number, max: number) =>
  fc.double({ min, max, noNaN: true }).map((x) => (Object.is(x, -0) ? 0 : x));

/** Fields whose parts must fit each other, by title: made to fit rather than found by luck. */
const FITTED: Readonly<Record<string, fc.Arbitrary<unknown>>> = {
  thresholds: fc
    .tuple(real(0.05, 20), real(0.05, 20))
    .map((pair) => ({ acceptable: Math.max(...pair), imperceptible: Math.min(...pair) })),
  '95 % interval of ΔE₀₀': fc
    .tuple(real(0, 200), real(0, 200))
    .map((pair) => [Math.min(...pair), Math.max(...pair)]),
  'covariance of the difference': fc
    .tuple(
      fc.array(real(0, 9), { minLength: 3, maxLength: 3 }),
      fc.array(real(-9, 9), { minLength: 3, maxLength: 3 }),
    )
    .map(([[a, b, c], [d, e, f]]) => [
      [a, d, e],
      [d, b, f],
      [e, f, c],
    ]),
  'tone response': fc
    .array(real(0.01, 10), { minLength: 2, maxLength: 6 })
    .map((rises) => rises.map((_, i) => rises.slice(0, i + 1).reduce((sum, v) => sum + v, 0))),
  'colour transform': fc
    .constantFrom({ method: 'linear', terms: 3 }, { method: 'root-polynomial', terms: 6 })
    .chain(({ method, terms }) => {
      const row = fc.array(real(-9, 9), { minLength: terms, maxLength: terms });
      return fc.record({
        method: fc.constant(method),
        rows: fc.tuple(row, row, row),
        leftOut: fc.record({ mean: real(0, 200), largest: real(0, 200) }),
      });
    }),
};

const word = fc.stringMatching(/^[A-Za-z0-9][A-Za-z0-9-]{0,11}$/);
const instant = fc
  .date({ min: new Date('1990-01-01'), max: new Date('2090-01-01'), noInvalidDate: true })
  .map((date) => date.toISOString());

function text(actions: readonly Parts[]): fc.Arbitrary<string> {
  const find = (type: string) => actions.find((action) => action.type === type)?.requirement;
  if (find('iso_timestamp')) return instant;
  const pattern = find('regex') as RegExp | undefined;
  const longest = (find('max_length') as number | undefined) ?? 40;
  const free = fc.string({ unit: 'binary', maxLength: Math.min(30, longest) });
  if (!pattern) return free;
  return pattern.source === String.raw`\S`
    ? free.filter((line) => pattern.test(line))
    : fc.stringMatching(pattern).filter((line) => line.length <= longest);
}

function number(actions: readonly Parts[]): fc.Arbitrary<number> {
  const find = (type: string) => actions.find((action) => action.type === type)?.requirement;
  const min = (find('min_value') as number | undefined) ?? -1e6;
  const max = (find('max_value') as number | undefined) ?? 1e6;
  const whole = actions.some(({ type }) => type === 'integer');
  return whole ? fc.integer({ min, max }) : real(min, max);
}

function arbitrary(schema: Schema): fc.Arbitrary<unknown> {
  const parts = schema as unknown as Parts;
  const title = v.getTitle(schema);
  const fitted = title === undefined ? undefined : FITTED[title];
  if (fitted) return fitted;
  // A pipe's own schema is its first item; a titled pipe may hold another, and a record its check.
  const chain = flat(parts);
  const base = chain.findLast((part) => 'kind' in part && part.kind === 'schema') ?? parts;
  switch (base.type) {
    case 'strict_object':
      return object(base.entries ?? {});
    case 'strict_tuple':
      return fc.tuple(...(base.items ?? []).map(arbitrary));
    case 'array': {
      const least = chain.find(({ type }) => type === 'min_length')?.requirement;
      const items = fc.array(arbitrary(base.item!), {
        minLength: Number(least ?? 0),
        maxLength: 4,
      });
      return items.map((list) => [...new Map(list.map((x, i) => [idIn(x) ?? i, x])).values()]);
    }
    case 'record':
      return fc.dictionary(
        word.filter((key) => !(key in {})),
        arbitrary(base.value!),
        {
          maxKeys: 4,
          noNullPrototype: true,
        },
      );
    case 'string':
      return text(chain);
    case 'number':
      return number(chain);
    case 'boolean':
      return fc.boolean();
    case 'literal':
      return fc.constant(base.literal);
    case 'picklist':
      return fc.constantFrom(...(base.options ?? []));
    case 'union':
    case 'variant':
      return fc.oneof(...((base.options ?? []) as readonly Schema[]).map(arbitrary));
    default:
      throw new Error(`no way to make a ${base.type}`);
  }
}
function flat(parts: Parts): readonly Parts[] {
  return parts.pipe ? parts.pipe.flatMap((part) => (part.pipe ? flat(part) : [part])) : [parts];
}
function idIn(item: unknown): unknown {
  return typeof item === 'object' && item !== null && 'id' in item ? item.id : undefined;
}
function object(entries: Readonly<Record<string, Schema>>): fc.Arbitrary<unknown> {
  const fields = Object.entries(entries).map(([name, schema]) => {
    const { wrapped } = schema as unknown as Parts;
    return [name, wrapped ? arbitrary(wrapped) : arbitrary(schema)] as const;
  });
  const requiredKeys = Object.entries(entries)
    .filter(([, schema]) => !(schema as unknown as Parts).wrapped)
    .map(([name]) => name);
  return fc.record(Object.fromEntries(fields), { requiredKeys, noNullPrototype: true });
}

const made = new Map<Kind, fc.Arbitrary<unknown>>();
/** A valid record of a kind, at any place. */
export function anyRecord<K extends Kind>(kind: K): fc.Arbitrary<RecordOf<K>> {
  const known = made.get(kind) ?? arbitrary(SCHEMAS[kind]);
  made.set(kind, known);
  return known.map(settled) as fc.Arbitrary<RecordOf<K>>;
}

/** A reading's attempt lies in the reading's own area, a photograph's area in its own piece. */
function settled(record: unknown): unknown {
  const { kind, id, attempt, area } = record as Readonly<Record<string, string | undefined>>;
  const [, job, piece, field] = (id ?? '').split('/');
  if (
    kind !== undefined &&
    ['reading', 'map', 'plan', 'jar'].includes(kind) &&
    attempt !== undefined
  ) {
    return { ...(record as object), attempt: `attempt/${job}/${piece}/${field}/T` };
  }
  if (kind === 'picture' && area !== undefined) {
    return { ...(record as object), area: `area/${job}/${piece}/A` };
  }
  return record;
}
