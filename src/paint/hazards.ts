/**
 * Which pigments ask for care, by Colour Index generic name. Constitutions as the Colour Index gives
 * them (from memory); the maker's data sheet and local rules come first.
 */

export interface Hazard {
  /** What the pigment contains, "cadmium". */
  readonly contains: string;
  /** The caution in the person's words. */
  readonly caution: string;
}

const CONTAINS: readonly (readonly [contains: string, names: readonly string[]])[] = [
  ['cadmium', ['PY 35', 'PY 37', 'PO 20', 'PO 23', 'PR 108', 'PR 113']],
  ['lead', ['PW 1', 'PY 41', 'PR 105', 'PO 45']],
  ['lead and chromate', ['PY 34', 'PO 21', 'PR 103', 'PR 104']],
  ['chromate', ['PY 31', 'PY 32', 'PY 33', 'PY 36']],
  [
    'cobalt',
    [
      'PB 28',
      'PB 35',
      'PB 36',
      'PB 72',
      'PB 74',
      'PG 19',
      'PG 26',
      'PV 14',
      'PV 49',
      'PY 40',
      'PBk 27',
      'PBk 29',
    ],
  ],
  ['cobalt and nickel', ['PG 50']],
  ['nickel', ['PY 53', 'PY 150', 'PY 153', 'PY 157', 'PG 10', 'PBk 30']],
  ['mercury', ['PR 106']],
  ['arsenic', ['PG 21', 'PG 22', 'PY 39']],
];

const BY_NAME = new Map(
  CONTAINS.flatMap(([contains, names]) => names.map((name) => [key(name), contains] as const)),
);

/** The hazard of a pigment by Colour Index generic name ("PB 28", "pb28", "PY 35:1"), if it has one. */
export function hazardOf(colourIndex: string | undefined): Hazard | undefined {
  const contains = colourIndex === undefined ? undefined : BY_NAME.get(key(colourIndex));
  if (contains === undefined) return undefined;
  return {
    contains,
    caution: `contains ${contains}: not for spraying; no dust, no skin contact; read its data sheet and follow local rules`,
  };
}

/** "PY 35:1" and "py35" are one pigment here: extended and coprecipitated forms keep the metal. */
function key(name: string): string {
  return name
    .toUpperCase()
    .replace(/\s+/g, '')
    .replace(/[:.].*$/, '');
}
