/** What is wrong with a record, in the person's words. */
import * as v from 'valibot';

/** One thing that is wrong. */
export interface Fault {
  /** The fields from the outside in, as the data spells them: `difference.covariance[1][2]`. */
  readonly path: string;
  /** The same in words, "difference, covariance of the difference, 2, 3"; empty for the whole. */
  readonly field: string;
  /** "must be a number, but is “abc”". */
  readonly message: string;
}

type Key = string | number;

interface Walkable {
  readonly wrapped?: v.GenericSchema;
  readonly entries?: Readonly<Record<string, v.GenericSchema>>;
  readonly items?: readonly v.GenericSchema[];
  readonly item?: v.GenericSchema;
  readonly value?: v.GenericSchema;
  readonly pipe?: readonly unknown[];
}

/** The schema of one field of a schema. */
function within(schema: v.GenericSchema | undefined, key: Key): v.GenericSchema | undefined {
  if (!schema) return undefined;
  const s = schema as Walkable;
  if (s.wrapped) return within(s.wrapped, key);
  return s.entries?.[key] ?? s.items?.[Number(key)] ?? s.item ?? s.value;
}

function titleOf(schema: v.GenericSchema | undefined): string | undefined {
  const wrapped = schema && (schema as Walkable).wrapped;
  return wrapped ? titleOf(wrapped) : schema && v.getTitle(schema);
}

/** What a field of a schema is called: titles where there are any, else keys; items count from 1. */
export function fieldInWords(schema: v.GenericSchema, keys: readonly Key[]): string {
  let at: v.GenericSchema | undefined = schema;
  const words = keys.map((key) => {
    at = within(at, key);
    return titleOf(at) ?? (typeof key === 'number' ? String(key + 1) : key);
  });
  return words.join(', ');
}

export function pathOf(keys: readonly Key[]): string {
  return keys
    .map((key, i) => (typeof key === 'number' ? `[${key}]` : i > 0 ? `.${key}` : key))
    .join('');
}

const SHOWN = 60;
function shown(value: unknown): string {
  if (typeof value === 'number') return String(value);
  if (value === undefined) return 'missing';
  if (value === null) return 'empty';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object') return 'a group of fields';
  if (typeof value === 'boolean') return value ? 'yes (true)' : 'no (false)';
  if (typeof value !== 'string') return `a ${typeof value}`;
  return `“${value.length > SHOWN ? `${value.slice(0, SHOWN)}…` : value}”`;
}

/** What valibot found, said so that a person can mend it. */
function messageOf(issue: v.BaseIssue<unknown>): string {
  const but = `but is ${shown(issue.input)}`;
  const requirement = String((issue as { requirement?: unknown }).requirement);
  switch (issue.type) {
    case 'strict_object':
      if (issue.expected === 'never') return 'is a field this version does not know';
      return issue.input === undefined ? 'is missing' : `must be a group of fields, ${but}`;
    case 'strict_tuple':
      return issue.expected === 'never' || issue.input === undefined
        ? 'has too many or too few numbers'
        : `must be a list, ${but}`;
    case 'array':
      return `must be a list, ${but}`;
    case 'custom':
      return `${issue.message}, ${but}`;
    case 'record':
      return `must be a group of fields, ${but}`;
    case 'number':
    case 'finite':
      return `must be a number, ${but}`;
    case 'integer':
      return `must be a whole number, ${but}`;
    case 'string':
      return `must be text, ${but}`;
    case 'boolean':
      return `must be yes or no (true or false), ${but}`;
    case 'min_value':
      return `must be at least ${requirement}, ${but}`;
    case 'max_value':
      return `must be at most ${requirement}, ${but}`;
    case 'max_length':
      return Array.isArray(issue.input)
        ? `holds ${issue.input.length} entries; at most ${requirement} are kept`
        : `is longer than ${requirement} characters`;
    case 'min_length':
      return `must hold at least ${requirement}`;
    case 'literal':
    case 'picklist':
      return `must be ${issue.expected?.replaceAll(' | ', ' or ').replace(/[()]/g, '') ?? 'one of the known words'}, ${but}`;
    case 'iso_timestamp':
      return `must be a date and time such as 2026-01-31T10:15:00.000Z, ${but}`;
    case 'variant':
      return `must be one of the known kinds, ${but}`;
    case 'union':
      return `must be text, a number or yes/no, ${but}`;
    case 'regex':
      return issue.message.startsWith('Invalid')
        ? `cannot be ${shown(issue.input)}`
        : `${issue.message}, ${but}`;
    default:
      return issue.message;
  }
}

export function faultsOf(
  schema: v.GenericSchema,
  issues: readonly v.BaseIssue<unknown>[],
): readonly Fault[] {
  return issues.map((issue) => {
    const keys = (issue.path ?? []).map(({ key }) => key as Key);
    return {
      path: pathOf(keys),
      field: fieldInWords(schema, keys),
      message: messageOf(issue),
    };
  });
}

/**
 * One line for one fault: "colour of the glaze, L*: must be a number, but is “abc” (glazeLab[0])".
 * @param at where the record lies in a larger whole: "readings[2]"
 */
export function faultLine({ path, field, message }: Fault, at = ''): string {
  const joint = at === '' || path === '' || path.startsWith('[') ? '' : '.';
  const place = at + joint + path;
  return `${field === '' ? '' : `${field}: `}${message}${place === '' ? '' : ` (${place})`}`;
}
