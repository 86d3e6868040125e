/** The tone response alone, from the command line's photographs of the tile or of a grey step card. */
import { stepCodes, type ToneSubject } from '../reading/profile/step-card.ts';
import {
  STATED_AS,
  statedValues,
  toneFromShots,
  type StatedAs,
  type ToneFit,
  type ToneShot,
} from '../reading/profile/tone-profile.ts';
import { BadInput } from './lines.ts';
import { loadPhoto } from './photo.ts';

export interface ToneOptions {
  readonly tile?: string | undefined;
  readonly card?: string | undefined;
  readonly values?: string | undefined;
  readonly as?: string | undefined;
  readonly exposures?: string | undefined;
  readonly distances?: string | undefined;
}

/** @throws BadInput naming the photograph or the option at fault */
export async function toneOfPhotos(
  photos: readonly string[],
  options: ToneOptions,
): Promise<ToneFit> {
  const subject = subjectOf(options);
  const lights = lightsOf(photos.length, options);
  const known = knownOf(subject, options);
  const shots: ToneShot[] = [];
  const warnings: string[] = [];
  for (const [i, photo] of photos.entries()) {
    const seen = stepCodes((await loadPhoto(photo)).picture, subject);
    if (!seen.ok) throw new BadInput(`${photo}: ${seen.message}`);
    warnings.push(...seen.warnings.map((warning) => `${photo}: ${warning}`));
    shots.push({ places: seen.places, light: lights[i]! });
  }
  const fitted = toneFromShots(shots, known);
  if (!fitted.ok) throw new BadInput(`${photos.join(', ')}: ${fitted.message}`);
  return { ...fitted.fit, warnings: [...warnings, ...fitted.fit.warnings] };
}

function subjectOf({ tile, card }: ToneOptions): ToneSubject {
  if (tile !== undefined) {
    const [x, y] = numbers('--tile', tile, 'a place on the tile, in pixels: x,y', 2);
    return { kind: 'tile', at: { x: x!, y: y! } };
  }
  const wanted = 'the middles of the first and last step, in pixels, and how many: x,y,x,y,N';
  const [x1, y1, x2, y2, steps] = numbers('--card', card!, wanted, 5);
  return {
    kind: 'card',
    first: { x: x1!, y: y1! },
    last: { x: x2!, y: y2! },
    steps: steps!,
  };
}

function lightsOf(count: number, { exposures, distances }: ToneOptions): readonly number[] {
  if (exposures !== undefined && distances !== undefined) {
    throw new BadInput('give --exposures or --distances, not both');
  }
  const [name, text] =
    exposures !== undefined ? ['--exposures', exposures] : ['--distances', distances];
  if (text === undefined) return Array.from({ length: count }, () => 1);
  const given = numbers(name, text, 'one number for each photograph', count);
  if (given.some((value) => !(value > 0))) throw new BadInput(`${name} must be greater than 0`);
  return name === '--distances' ? given.map((d) => 1 / d ** 2) : given;
}

function knownOf(subject: ToneSubject, { values, as = 'lightness' }: ToneOptions) {
  if (values === undefined) return undefined;
  if (subject.kind === 'tile') throw new BadInput('--values belong to a --card');
  if (!isStatedAs(as)) throw new BadInput(`--as is one of ${STATED_AS.join(', ')}, not ${as}`);
  const stated = statedValues(values, as, subject.steps);
  if (!stated.ok) throw new BadInput(`--values: ${stated.message}`);
  return stated.reflectance;
}
const isStatedAs = (text: string): text is StatedAs => STATED_AS.some((as) => as === text);

function numbers(option: string, text: string, wanted: string, count: number): readonly number[] {
  const values = text.split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (values.length !== count || !values.every(Number.isFinite)) {
    throw new BadInput(`${option} needs ${wanted}`);
  }
  return values;
}
