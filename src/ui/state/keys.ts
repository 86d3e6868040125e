/** The keyboard map of the bench. A foot pedal is a keyboard: most send Page Down. */
export type BenchAction =
  | 'read'
  | 'added'
  | 'save'
  | 'next'
  | 'live'
  | 'dab'
  | 'glaze'
  | 'tile'
  | 'close-up'
  | 'map'
  | 'undo'
  | 'next-photo'
  | 'previous-photo'
  | 'pot'
  | 'keys';

export type MapAction =
  'bench' | 'save' | 'area' | 'glaze' | 'tile' | 'close-up' | 'bare' | 'spray' | 'keys';

export interface KeyLine<Action = BenchAction> {
  readonly action: Action;
  /** As `KeyboardEvent.key` gives them, in lower case. */
  readonly keys: readonly string[];
  readonly shown: string;
  readonly what: string;
}

export const KEY_MAP: readonly KeyLine[] = [
  { action: 'read', keys: ['r'], shown: 'R', what: 'Read the dab' },
  { action: 'save', keys: ['s'], shown: 'S', what: 'Save the reading' },
  { action: 'added', keys: ['a'], shown: 'A', what: 'Added it: the addition goes into the pot' },
  {
    action: 'next',
    keys: ['pagedown', ' '],
    shown: 'Space, Page Down',
    what: 'The next step, whichever it is (one pedal does the whole round)',
  },
  { action: 'live', keys: ['l', 'escape'], shown: 'L, Esc', what: 'Back to the live picture' },
  { action: 'dab', keys: ['d'], shown: 'D', what: 'Point at the dab, then arrow keys' },
  { action: 'glaze', keys: ['g'], shown: 'G', what: 'Point at the glaze, then arrow keys' },
  { action: 'tile', keys: ['t'], shown: 'T', what: 'Corners of the tile, then Tab and arrow keys' },
  { action: 'close-up', keys: ['c'], shown: 'C', what: 'Close-up, and back' },
  { action: 'map', keys: ['m'], shown: 'M', what: 'The blend map of a sprayed area' },
  { action: 'undo', keys: ['u'], shown: 'U', what: 'Undo the last addition' },
  { action: 'next-photo', keys: ['n'], shown: 'N', what: 'The next of several photographs' },
  { action: 'previous-photo', keys: ['b'], shown: 'B', what: 'The photograph before' },
  { action: 'pot', keys: ['p'], shown: 'P', what: 'The pot: its way, what went in, a new mix' },
  { action: 'keys', keys: ['?'], shown: '?', what: 'This keyboard map' },
];

export const MAP_KEYS: readonly KeyLine<MapAction>[] = [
  {
    action: 'area',
    keys: ['o'],
    shown: 'O',
    what: 'Outline of the sprayed area, then Tab and arrow keys; with Shift by single pixels',
  },
  { action: 'glaze', keys: ['g'], shown: 'G', what: 'Point at sound glaze, then arrow keys' },
  { action: 'tile', keys: ['t'], shown: 'T', what: 'Corners of the tile, then Tab and arrow keys' },
  { action: 'close-up', keys: ['c'], shown: 'C', what: 'Close-up, and back' },
  { action: 'bare', keys: ['b'], shown: 'B', what: 'The bare picture, and the map again' },
  {
    action: 'spray',
    keys: ['p'],
    shown: 'P',
    what: 'On the demo bench: spray the mix, or wipe it',
  },
  { action: 'save', keys: ['s', 'pagedown'], shown: 'S, Page Down', what: 'Save the map' },
  { action: 'bench', keys: ['m', 'escape'], shown: 'M, Esc', what: 'Back to the bench' },
  { action: 'keys', keys: ['?'], shown: '?', what: 'This keyboard map' },
];

/** Keys and pedals that the person assigned, by action; they go before the map's. */
export type OwnKeys = Readonly<Record<string, readonly string[]>>;

/** What a key press on the bench means; nothing while a person types or uses a control with it. */
export function actionOf(event: KeyboardEvent, own: OwnKeys = {}): BenchAction | undefined {
  const assigned = KEY_MAP.map((line) => ({ ...line, keys: own[line.action] ?? [] }));
  return actionAmong([...assigned, ...KEY_MAP], event);
}

/** Keys that move about and work controls are no one's to assign. */
const NOT_ASSIGNED =
  /^(tab|enter|escape|shift|control|alt|meta|capslock|arrow.*| |dead|unidentified)$/;

/** A pressed key as it is assigned and kept; undefined when it may not be. */
export function assignable(key: string): string | undefined {
  const name = key.toLowerCase();
  return NOT_ASSIGNED.test(name) ? undefined : name;
}

/** The same for any screen’s keys. */
export function actionAmong<Action>(
  lines: readonly KeyLine<Action>[],
  event: KeyboardEvent,
): Action | undefined {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return undefined;
  const target = event.composedPath()[0];
  if (target instanceof HTMLElement) {
    if (target.matches('input, select, textarea, [contenteditable]')) return undefined;
    if (event.key === ' ' && target.matches('button, a, summary')) return undefined;
  }
  const key = event.key.toLowerCase();
  return lines.find((line) => line.keys.includes(key))?.action;
}
