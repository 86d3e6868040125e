/** Checks a nudge request and names what is wrong with it, by pigment, in the person's words. */
import * as v from 'valibot';
import { deltaE00 } from '../colour/ciede2000.ts';
import { NOTHING, shareKept } from './doses.ts';
import { describe, firstMixSchema, nudgeSchema } from './request-schema.ts';
import type { FirstMixRequest, NudgeRequest, PalettePigment, PotGrams } from './types.ts';
import { writtenAs, type Written } from './writing.ts';

/** How much a tint may be lighter than its white or darker than its masstone: the reading's error. */
const LIGHTNESS_TOLERANCE = 1.2;
/** Two readings of one pot further apart than this were not of one pot. */
const SAME_POT_TOLERANCE = 4;
/** Lightest colour that can serve as the white of a palette. */
const DARKEST_WHITE = 70;

class Fault extends Error {}

export type Checked<T> =
  { readonly ok: true; readonly request: T } | { readonly ok: false; readonly error: string };

/** Whether a request asks for a mix from nothing: its pot is there and names no pigment. */
export function asksForFirstMix(given: unknown): boolean {
  if (typeof given !== 'object' || given === null || !('pot' in given)) return false;
  const asked: unknown = given.pot;
  return typeof asked === 'object' && asked !== null && Object.keys(asked).length === 0;
}

/** The request with its defaults filled in, or the first fault found. Never throws. */
export function checkNudgeRequest(given: unknown): Checked<NudgeRequest> {
  const parsed = v.safeParse(nudgeSchema, given);
  if (!parsed.success) return { ok: false, error: describe(parsed.issues[0], given) };
  const request = tidied(parsed.output);
  return checkedBy(request, () => checkPots(request));
}

/** The same for a mix from nothing, whose pot is `{}`. */
export function checkFirstMixRequest(given: unknown): Checked<FirstMixRequest> {
  const parsed = v.safeParse(firstMixSchema, given);
  if (!parsed.success) return { ok: false, error: describe(parsed.issues[0], given) };
  const request = tidied(parsed.output);
  return checkedBy(request, () => {
    checkAttempts(request, []);
    const { grams } = writtenAs(request.writing);
    if (request.amount < 2 * request.smallest) {
      throw new Fault(
        `amount: ${grams(request.amount)} is too little to mix with doses of ${grams(request.smallest)}`,
      );
    }
  });
}

function checkedBy<T extends Pick<NudgeRequest, 'palette' | 'strengths' | 'writing'>>(
  request: T,
  check: () => void,
): Checked<T> {
  try {
    checkPalette(request.palette, writtenAs(request.writing));
    checkStrengths(request);
    check();
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

type Absent<T> = { [K in keyof T]: null extends T[K] ? Exclude<T[K], null> : T[K] };

/** Leaves out what is absent or null, so that "absent" has one form. */
function present<T extends object>(given: T): Absent<T> {
  const entries = Object.entries(given).filter(
    ([, value]) => value !== undefined && value !== null,
  );
  return Object.fromEntries(entries) as Absent<T>;
}

function tidied(output: v.InferOutput<typeof nudgeSchema>): NudgeRequest;
function tidied(output: v.InferOutput<typeof firstMixSchema>): FirstMixRequest;
function tidied(
  output: Pick<v.InferOutput<typeof nudgeSchema>, 'palette' | 'history' | 'writing'> &
    Partial<Pick<v.InferOutput<typeof nudgeSchema>, 'lamps'>>,
): object {
  return {
    ...present(output),
    palette: output.palette.map(present),
    history: output.history.map(present),
    ...(output.writing && { writing: present(output.writing) }),
    ...(output.lamps && { lamps: output.lamps.map(present) }),
  };
}

function checkStrengths({
  palette,
  strengths = {},
}: Pick<NudgeRequest, 'palette' | 'strengths'>): void {
  const stranger = Object.keys(strengths).find((id) => !palette.some((one) => one.id === id));
  if (stranger !== undefined) throw new Fault(`strengths: ${unknown(stranger, palette)}`);
}

function checkPalette(palette: readonly PalettePigment[], { number }: Written): void {
  const shown = (lightness: number) => number(lightness, 1);
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

interface Recorded {
  readonly pot: PotGrams;
  readonly dabLab: NudgeRequest['dabLab'];
  readonly where: string;
}

function checkPots(request: NudgeRequest): void {
  checkAttempts(request, [{ pot: request.pot, dabLab: request.dabLab, where: 'pot' }]);
}

/** Checks the history, and what stands after it. */
function checkAttempts(
  {
    palette,
    history,
    smallest,
    writing,
  }: Pick<NudgeRequest, 'palette' | 'history' | 'smallest' | 'writing'>,
  after: readonly Recorded[],
): void {
  const written = writtenAs(writing);
  const attempts: Recorded[] = [
    ...history.map((one, index) => ({ ...one, where: `history[${index}]` })),
    ...after,
  ];
  for (const { pot: grams, where } of attempts) {
    const stranger = Object.keys(grams).find((id) => !palette.some((one) => one.id === id));
    if (stranger !== undefined) throw new Fault(`${where}: ${unknown(stranger, palette)}`);
    if (Object.values(grams).every((value) => value <= NOTHING)) {
      throw new Fault(`${where}: the pot is empty`);
    }
  }
  for (let later = 1; later < attempts.length; later++) {
    const now = attempts[later]!;
    const before = attempts[later - 1]!;
    checkFall(before, now, smallest / 2, written);
    const apart = deltaE00(before.dabLab, now.dabLab);
    if (sameGrams(before.pot, now.pot) && apart > SAME_POT_TOLERANCE) {
      throw new Fault(
        `history: ${before.where} and ${now.where} record the same pot, but their dabs are ΔE₀₀ ${written.number(apart, 1)} apart`,
      );
    }
  }
}

/** A pot is added to, or a part of the whole is set aside: no pigment falls by itself. */
function checkFall(before: Recorded, now: Recorded, tolerance: number, { grams }: Written): void {
  const ids = [...new Set([...Object.keys(before.pot), ...Object.keys(now.pot)])];
  const gramsOf = (pot: PotGrams) => ids.map((id) => pot[id] ?? 0);
  if (shareKept(gramsOf(before.pot), gramsOf(now.pot), tolerance) !== undefined) return;
  const falls = ids
    .map((id) => ({ id, was: before.pot[id] ?? 0, is: now.pot[id] ?? 0 }))
    .filter(({ was, is }) => is < was - tolerance)
    .sort((a, b) => a.is / a.was - b.is / b.was);
  const { id, was, is } = falls[0]!;
  throw new Fault(
    `history: “${id}” falls from ${grams(was, 5)} in ${before.where} to ${grams(is, 5)} in ${now.where}; a pot can only be added to, or a part of the whole set aside (list attempts oldest first)`,
  );
}

const unknown = (id: string, palette: readonly PalettePigment[]) =>
  `pigment “${id}” is not in the palette (${palette.map((one) => one.id).join(', ')})`;

function sameGrams(first: PotGrams, second: PotGrams): boolean {
  return [...new Set([...Object.keys(first), ...Object.keys(second)])].every(
    (id) => Math.abs((first[id] ?? 0) - (second[id] ?? 0)) < 1e-9,
  );
}
