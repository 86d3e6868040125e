/** Checks a nudge request and names what is wrong with it, by pigment, in the person's words. */
import * as v from 'valibot';
import { deltaE00 } from '../colour/ciede2000.ts';
import { labD65 } from '../colour/spaces.ts';
import type { NudgeRequest, PalettePigment, PotGrams } from './types.ts';

/** A hand's smallest dose and a pot's largest growth when the request does not say. */
export const DEFAULT_SMALLEST_GRAMS = 0.01;
export const DEFAULT_LARGEST_GROWTH = 0.8;

/** How much a tint may be lighter than its white or darker than its masstone: the reading's error. */
const LIGHTNESS_TOLERANCE = 1.2;
/** Two readings of one pot further apart than this were not of one pot. */
const SAME_POT_TOLERANCE = 4;
/** Lightest colour that can serve as the white of a palette. */
const DARKEST_WHITE = 70;

class Fault extends Error {}

const finite = v.pipe(v.number('is not a number'), v.finite('is not a finite number'));
const within = (low: number, high: number) =>
  v.pipe(
    finite,
    v.minValue(low, `lies outside ${low} to ${high}`),
    v.maxValue(high, `lies outside ${low} to ${high}`),
  );
const lab = v.pipe(
  v.tuple(
    [within(-1, 105), within(-160, 160), within(-160, 160)],
    'is not a colour [L, a, b] of three numbers',
  ),
  v.transform(([L, a, b]) => labD65(Math.max(0, L), a, b)),
);
const mass = v.pipe(
  finite,
  v.minValue(0, 'is a negative mass'),
  v.maxValue(1e6, 'is more than a tonne'),
);
const part = v.pipe(
  finite,
  v.gtValue(0, 'must be a mass greater than zero'),
  v.maxValue(1e6, 'is more than a tonne'),
);
const pot = v.record(v.string(), mass, 'is not a list of grams by pigment');
const tint = v.object({ lab, pigment: part, white: part }, 'is not {lab, pigment, white}');
const pigment = v.object(
  {
    id: v.pipe(v.string('is missing or not a word'), v.nonEmpty('is empty')),
    colourIndex: v.nullish(v.string('is not a word')),
    isWhite: v.nullish(v.boolean('is neither true nor false')),
    masstone: lab,
    tint: v.nullish(tint),
    moreTints: v.nullish(v.array(tint, 'is not a list of tints')),
    strength: v.nullish(part),
  },
  'is not a pigment {id, masstone, …}',
);
const schema = v.object(
  {
    palette: v.pipe(
      v.array(pigment, 'is not a list of pigments'),
      v.minLength(1, 'holds no pigment'),
    ),
    pot,
    glazeLab: lab,
    dabLab: lab,
    history: v.nullish(
      v.array(v.object({ pot, dabLab: lab }, 'is not {pot, dabLab}'), 'is not a list of attempts'),
      [],
    ),
    smallest: v.nullish(part, DEFAULT_SMALLEST_GRAMS),
    largestGrowth: v.nullish(part, DEFAULT_LARGEST_GROWTH),
  },
  'is not a request {palette, pot, glazeLab, dabLab, …}',
);

export type Checked<T> =
  { readonly ok: true; readonly request: T } | { readonly ok: false; readonly error: string };

/** The request with its defaults filled in, or the first fault found. Never throws. */
export function checkNudgeRequest(given: unknown): Checked<NudgeRequest> {
  const parsed = v.safeParse(schema, given);
  if (!parsed.success) return { ok: false, error: describe(parsed.issues[0], given) };
  const output = parsed.output;
  const request = { ...output, palette: output.palette.map(tidy) };
  try {
    checkPalette(request.palette);
    checkPots(request);
  } catch (fault) {
    if (fault instanceof Fault) return { ok: false, error: fault.message };
    throw fault;
  }
  return { ok: true, request };
}

/** Checks a palette alone, as a first mix needs it; the fault in words, or undefined. */
export function faultOfPalette(palette: readonly PalettePigment[]): string | undefined {
  const first = palette[0];
  if (!first) return 'palette: holds no pigment';
  const checked = checkNudgeRequest({
    palette,
    pot: { [first.id]: 1 },
    glazeLab: [50, 0, 0],
    dabLab: [50, 0, 0],
  });
  return checked.ok ? undefined : checked.error;
}

/** Leaves out what is absent or null, so that "absent" has one form. */
function tidy({
  id,
  masstone,
  ...rest
}: v.InferOutput<typeof schema>['palette'][number]): PalettePigment {
  const present = Object.entries(rest).filter(([, value]) => value !== undefined && value !== null);
  return { id, masstone, ...Object.fromEntries(present) };
}

function checkPalette(palette: readonly PalettePigment[]): void {
  const seen = new Set<string>();
  for (const { id } of palette) {
    if (seen.has(id)) throw new Fault(`palette: “${id}” is there twice`);
    seen.add(id);
  }
  const white = palette.find(({ isWhite }) => isWhite);
  const tinted = palette.find(({ tint, isWhite }) => tint && !isWhite);
  if (!white && tinted) {
    throw new Fault(
      `palette: no pigment is marked as white (isWhite), so the tint of “${tinted.id}” cannot be understood`,
    );
  }
  if (white && white.masstone[0] < DARKEST_WHITE) {
    throw new Fault(
      `palette: “${white.id}” is marked as white, but its masstone has L* ${shown(white.masstone[0])}`,
    );
  }
  for (const { id, tint, moreTints = [], masstone, isWhite } of palette) {
    if (!tint || isWhite) continue;
    for (const { lab } of [tint, ...moreTints]) {
      if (lab[0] > white!.masstone[0] + LIGHTNESS_TOLERANCE) {
        throw new Fault(
          `palette: the tint of “${id}” (L* ${shown(lab[0])}) is lighter than the white “${white!.id}” (L* ${shown(white!.masstone[0])})`,
        );
      }
      if (lab[0] < masstone[0] - LIGHTNESS_TOLERANCE) {
        throw new Fault(
          `palette: the tint of “${id}” (L* ${shown(lab[0])}) is darker than its masstone (L* ${shown(masstone[0])})`,
        );
      }
    }
  }
}

function checkPots({ palette, pot, dabLab, history, smallest }: NudgeRequest): void {
  const known = new Set(palette.map(({ id }) => id));
  const attempts = [
    ...history.map((attempt, index) => ({ ...attempt, where: `history[${index}]` })),
    { pot, dabLab, where: 'pot' },
  ];
  for (const { pot: grams, where } of attempts) {
    const stranger = Object.keys(grams).find((id) => !known.has(id));
    if (stranger !== undefined) {
      throw new Fault(
        `${where}: pigment “${stranger}” is not in the palette (${[...known].join(', ')})`,
      );
    }
    if (!(total(grams) > 0)) throw new Fault(`${where}: the pot is empty`);
  }
  for (let later = 1; later < attempts.length; later++) {
    const now = attempts[later]!;
    const before = attempts[later - 1]!;
    for (const [id, grams] of Object.entries(before.pot)) {
      const left = now.pot[id] ?? 0;
      if (left < grams - smallest / 2) {
        throw new Fault(
          `history: “${id}” falls from ${grams} g in ${before.where} to ${left} g in ${now.where}; a pot can only be added to (list attempts oldest first)`,
        );
      }
    }
    const apart = deltaE00(before.dabLab, now.dabLab);
    if (sameGrams(before.pot, now.pot) && apart > SAME_POT_TOLERANCE) {
      throw new Fault(
        `history: ${before.where} and ${now.where} record the same pot, but their dabs are ΔE00 ${shown(apart)} apart`,
      );
    }
  }
}

function sameGrams(first: PotGrams, second: PotGrams): boolean {
  return [...new Set([...Object.keys(first), ...Object.keys(second)])].every(
    (id) => Math.abs((first[id] ?? 0) - (second[id] ?? 0)) < 1e-9,
  );
}

const total = (grams: PotGrams) => Object.values(grams).reduce((sum, value) => sum + value, 0);
const shown = (value: number) => value.toFixed(1);

/** "palette “blue”, tint.lab[1]: is not a number". */
function describe(issue: v.BaseIssue<unknown>, given: unknown): string {
  const keys = (issue.path ?? []).map(({ key }) => key as string | number);
  let where = keys
    .map((key, index) => (typeof key === 'number' ? `[${key}]` : `${index ? '.' : ''}${key}`))
    .join('');
  const id = keys[0] === 'palette' && typeof keys[1] === 'number' && idAt(given, keys[1]);
  if (id) where += ` of “${id}”`;
  const missing = issue.received === 'undefined' ? 'is missing' : issue.message;
  const received =
    issue.kind === 'validation' || typeof issue.input !== 'object' ? `: ${issue.received}` : '';
  return where === ''
    ? `the request ${issue.message}`
    : `${where} ${missing}${missing === 'is missing' ? '' : received}`;
}

function idAt(given: unknown, index: number): string | undefined {
  const palette = (given as { palette?: unknown }).palette;
  const entry: unknown = Array.isArray(palette) ? palette[index] : undefined;
  const id = typeof entry === 'object' && entry !== null && 'id' in entry ? entry.id : undefined;
  return typeof id === 'string' ? id : undefined;
}
