/**
 * A record's id is its place: the kind, then the keys of the records it lies in, outermost first,
 * then its own key, `reading/JOB/PIECE/AREA/OWN`. A key starts with its time, so ids sort by
 * hierarchy and then by age, and one range of ids is "all readings of this area" or "… of this job".
 */
export type Kind =
  | 'job'
  | 'piece'
  | 'area'
  | 'attempt'
  | 'reading'
  | 'map'
  | 'plan'
  | 'jar'
  | 'picture'
  | 'palette'
  | 'settings';
export type Id<K extends Kind = Kind> = `${K}/${string}`;

/** What a record lies in; palettes and settings lie in nothing. */
export interface ParentKind {
  piece: 'job';
  area: 'piece';
  picture: 'piece';
  attempt: 'area';
  reading: 'area';
  map: 'area';
  plan: 'area';
  jar: 'area';
}
const PARENT: Readonly<Record<Kind, Kind | undefined>> = {
  job: undefined,
  piece: 'job',
  area: 'piece',
  attempt: 'area',
  reading: 'area',
  map: 'area',
  plan: 'area',
  jar: 'area',
  picture: 'piece',
  palette: undefined,
  settings: undefined,
};
export const KINDS = Object.keys(PARENT) as readonly Kind[];

/** The one record of settings. */
export const SETTINGS_ID: Id<'settings'> = 'settings/bench';

const KEY = '[A-Za-z0-9_-]{1,64}';

function depth(kind: Kind): number {
  const parent = PARENT[kind];
  return parent ? depth(parent) + 1 : 1;
}
/** What an id of a kind looks like. */
export function idPattern(kind: Kind): RegExp {
  return new RegExp(`^${kind}(/${KEY}){${depth(kind)}}$`);
}

/** The same for a person: area/…/…/… */
export function idForm(kind: Kind): string {
  return kind + '/…'.repeat(depth(kind));
}

export function kindOf(id: string): Kind | undefined {
  const kind = KINDS.find((k) => id.startsWith(`${k}/`));
  return kind && idPattern(kind).test(id) ? kind : undefined;
}

/**
 * A key for a new record.
 * @param at the moment it is made, UTC
 * @param random at least eight letters or digits, so that two devices never meet
 */
export function recordKey(at: Date, random: string): string {
  return `${at.toISOString().replace(/[-:.]/g, '')}-${random}`;
}

export function rootId<K extends Exclude<Kind, keyof ParentKind>>(kind: K, key: string): Id<K> {
  return `${kind}/${key}`;
}
export function childId<K extends keyof ParentKind>(
  kind: K,
  parent: Id<ParentKind[K]>,
  key: string,
): Id<K> {
  return `${kind}/${keysOf(parent)}/${key}`;
}

/** The keys of an id without its kind: `J/P` of `piece/J/P`. */
function keysOf(id: string): string {
  return id.slice(id.indexOf('/') + 1);
}

export function parentOf<K extends keyof ParentKind>(id: Id<K>): Id<ParentKind[K]>;
export function parentOf(id: string): string | undefined;
export function parentOf(id: string): string | undefined {
  const kind = kindOf(id);
  const parent = kind && PARENT[kind];
  return parent && `${parent}/${keysOf(id).slice(0, keysOf(id).lastIndexOf('/'))}`;
}

/** Everything a record lies in, nearest first. */
export function ancestorsOf(id: string): readonly string[] {
  const parent = parentOf(id);
  return parent ? [parent, ...ancestorsOf(parent)] : [];
}

/** First and last id of a kind, all of them or those within one record. */
export function idRange(kind: Kind, within?: string): { readonly first: string; last: string } {
  const first = within === undefined ? `${kind}/` : `${kind}/${keysOf(within)}/`;
  return { first, last: `${first}\ufff0` };
}

/** The kinds that lie in a kind, at any depth. */
export function kindsWithin(kind: Kind): readonly Kind[] {
  const children = KINDS.filter((k) => PARENT[k] === kind);
  return children.flatMap((k) => [k, ...kindsWithin(k)]);
}
