/** What a jar's label says to a machine and to a hand, and the jar it belongs to. */
import { ancestorsOf } from './ids.ts';
import type { Jar } from './jar.ts';

/** In the label's QR code: the job's own id, then the jar's. */
export function labelText({ id }: Pick<Jar, 'id'>): string {
  return `${ancestorsOf(id).at(-1)!}\n${id}`;
}

const CODE_LENGTH = 6;

/** Printed below it, to be typed where nothing scans. */
export function labelCode({ id }: Pick<Jar, 'id'>): string {
  return id.slice(-CODE_LENGTH).toUpperCase();
}

export type FoundJar<J> =
  { readonly ok: true; readonly jar: J } | { readonly ok: false; readonly message: string };

/** @param text what a QR code says, or the code as typed, in either case */
export function jarByLabel<J extends Pick<Jar, 'id'>>(
  text: string,
  jars: readonly J[],
): FoundJar<J> {
  const said = text.trim();
  if (said === '') return { ok: false, message: 'Type the code of the label.' };
  const scanned = said.split(/\s+/).find((word) => word.startsWith('jar/'));
  const jar =
    scanned === undefined
      ? jars.find((one) => labelCode(one) === said.toUpperCase())
      : jars.find(({ id }) => id === scanned);
  if (jar) return { ok: true, jar };
  if (scanned !== undefined || said.startsWith('job/')) {
    return {
      ok: false,
      message: 'That jar is not on this shelf: it was emptied, or its job is on another device.',
    };
  }
  return /^[A-Za-z0-9-]{6}$/.test(said)
    ? { ok: false, message: `No jar on this shelf has the code ${said.toUpperCase()}.` }
    : { ok: false, message: 'That is no label of a jar: its code has six letters or digits.' };
}
