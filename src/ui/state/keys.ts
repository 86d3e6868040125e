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
  | 'undo'
  | 'keys';

export interface KeyLine {
  readonly action: BenchAction;
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
  { action: 'undo', keys: ['u'], shown: 'U', what: 'Undo the last addition' },
  { action: 'keys', keys: ['?'], shown: '?', what: 'This keyboard map' },
];

/** What a key press on the bench means; nothing while a person types or uses a control with it. */
export function actionOf(event: KeyboardEvent): BenchAction | undefined {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return undefined;
  const target = event.composedPath()[0];
  if (target instanceof HTMLElement) {
    if (target.matches('input, select, textarea, [contenteditable]')) return undefined;
    if (event.key === ' ' && target.matches('button, a, summary')) return undefined;
  }
  const key = event.key.toLowerCase();
  return KEY_MAP.find((line) => line.keys.includes(key))?.action;
}
