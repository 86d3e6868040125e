/** A camera profile from a file, checked field by field. */
import * as v from 'valibot';
import {
  COLOUR_METHODS,
  fitsMethod,
  rises,
  type CameraProfile,
} from '../reading/profile/profile.ts';
import { BadInput, naming, parseJson, readText } from './lines.ts';

const number = v.pipe(v.number('must be a number'), v.finite('must be finite'));
const curve = v.pipe(
  v.array(number, 'must be a list of numbers'),
  v.minLength(2, 'needs at least two numbers'),
  v.check((values) => rises(values), 'must rise'),
);
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
          method: v.picklist(COLOUR_METHODS, 'must be a known method'),
          rows: v.strictTuple([row, row, row], 'must be three rows'),
          leftOut: v.object({ mean: number, largest: number }),
        }),
        v.check((one) => fitsMethod(one), 'has rows of another length than its method'),
      ),
    ),
  },
  'is no camera profile',
);

/** @throws BadInput naming the file and the fault */
export async function loadProfile(file: string): Promise<CameraProfile> {
  const text = await readText(file);
  const given = await naming(file, () => parseJson(text));
  const parsed = v.safeParse(profile, given);
  if (!parsed.success) {
    const issue = parsed.issues[0];
    throw new BadInput(`${file}: ${v.getDotPath(issue) ?? 'the file'} ${issue.message}`);
  }
  const { colour, ...rest } = parsed.output;
  return colour ? { ...rest, colour } : rest;
}
