/** A camera profile from a file, checked field by field. */
import { readFile } from 'node:fs/promises';
import * as v from 'valibot';
import type { CameraProfile } from '../reading/profile/profile.ts';
import { BadInput, parseJson } from './lines.ts';

const number = v.pipe(v.number('must be a number'), v.finite('must be finite'));
const curve = v.pipe(
  v.array(number, 'must be a list of numbers'),
  v.minLength(2, 'needs at least two numbers'),
  v.check((values) => values.every((n, i) => i === 0 || n > values[i - 1]!), 'must rise'),
);
const TERMS = { linear: 3, 'root-polynomial': 6 } as const;
const row = v.array(number, 'must be a list of numbers');
const profile = v.object(
  {
    name: v.string('must be a name'),
    camera: v.string('must be a name'),
    madeOn: v.string('must be a date'),
    tone: v.strictTuple([curve, curve, curve], 'must be three curves'),
    whiteLogRatios: v.strictTuple([number, number], 'must be two numbers'),
    colour: v.optional(
      v.pipe(
        v.object({
          method: v.picklist(['linear', 'root-polynomial'], 'must be a known method'),
          rows: v.strictTuple([row, row, row], 'must be three rows'),
          leftOut: v.object({ mean: number, largest: number }),
        }),
        v.check(
          ({ method, rows }) => rows.every((r) => r.length === TERMS[method]),
          'has rows of another length than its method',
        ),
      ),
    ),
  },
  'is no camera profile',
);

/** @throws BadInput naming the file and the fault */
export async function loadProfile(file: string): Promise<CameraProfile> {
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch {
    throw new BadInput(`${file}: there is no such file, or it cannot be opened`);
  }
  let given: unknown;
  try {
    given = parseJson(text);
  } catch (fault) {
    throw new BadInput(`${file}: ${fault instanceof Error ? fault.message : ''}`);
  }
  const parsed = v.safeParse(profile, given);
  if (!parsed.success) {
    const issue = parsed.issues[0];
    throw new BadInput(`${file}: ${v.getDotPath(issue) ?? 'the file'} ${issue.message}`);
  }
  const { colour, ...rest } = parsed.output;
  return colour ? { ...rest, colour } : rest;
}
