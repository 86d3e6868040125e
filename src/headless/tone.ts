/** The tone response alone, from the command line's photographs of the tile or of a grey step card. */
import { toneFromExposures, type ShotExposure } from '../reading/profile/exposed-shots.ts';
import {
  changedIn,
  changedWarning,
  heldWarning,
  timed,
  unlikeWarning,
} from '../reading/profile/exposure-check.ts';
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
import { loadPhoto, type LoadedPhoto } from './photo.ts';

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
): Promise<ToneFit & { readonly byMarks?: true }> {
  const subject = subjectOf(options);
  const given = givenLight(photos.length, options);
  const known = knownOf(subject, options);
  const places: ToneShot['places'][] = [];
  const said: LoadedPhoto['exposure'][] = [];
  const warnings: string[] = [];
  for (const photo of photos) {
    const { picture, exposure, notes } = await loadPhoto(photo);
    const seen = stepCodes(picture, subject);
    if (!seen.ok) throw new BadInput(`${photo}: ${seen.message}`);
    warnings.push(...[...notes, ...seen.warnings].map((warning) => `${photo}: ${warning}`));
    places.push(seen.places);
    said.push(exposure);
  }
  const exposures = given.exposures ?? (given.distances ? undefined : saidBy(photos, said, known));
  const shots = exposures?.map((exposure, i) => ({
    name: photos[i]!,
    places: places[i]!,
    exposure,
  }));
  if (shots) {
    const changed = changedIn(said);
    if (!given.exposures) warnings.push(...changedWarning(changed));
    else if (changed.fNumber || changed.iso) {
      warnings.push('Aperture or ISO changed from shot to shot: --exposures must count it too.');
    }
    if (!known) warnings.push(...unlikeWarning(shots, `the ${subject.kind}`));
  } else {
    warnings.push(...heldWarning(said.map(timed)));
  }
  const fitted = shots
    ? toneFromExposures(shots, known)
    : toneFromShots(
        places.map((codes, i) => ({ places: codes, light: given.distances?.[i] ?? 1 })),
        known,
      );
  if (!fitted.ok) throw new BadInput(`${photos.join(', ')}: ${fitted.message}`);
  const byMarks = 'byMarks' in fitted && fitted.byMarks === true;
  return {
    ...fitted.fit,
    warnings: [...warnings, ...fitted.fit.warnings],
    ...(byMarks && { byMarks }),
  };
}

/** By the photographs' own data; undefined: not all say it, and the card's values will do. */
function saidBy(
  photos: readonly string[],
  said: readonly LoadedPhoto['exposure'][],
  known: readonly number[] | undefined,
): readonly ShotExposure[] | undefined {
  const changed = changedIn(said);
  const lacks = (i: number, what: string) =>
    new BadInput(
      `${photos[i]!}: carries no ${what}; give --exposures or --distances, one number for each photograph`,
    );
  const whole = said.map(timed);
  if (known && whole.includes(undefined)) return undefined;
  return whole.map((one, i) => {
    if (!one) throw lacks(i, 'exposure time');
    if (changed.fNumber && one.fNumber === undefined) throw lacks(i, 'f-number');
    if (changed.iso && one.iso === undefined) throw lacks(i, 'ISO');
    return {
      timeS: one.timeS,
      ...(changed.fNumber && one.fNumber && { fNumber: one.fNumber }),
      ...(changed.iso && one.iso && { iso: one.iso }),
    };
  });
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

/** What the options say of the light; nothing: the photographs themselves may. */
function givenLight(
  count: number,
  { exposures, distances }: ToneOptions,
): { readonly exposures?: readonly ShotExposure[]; readonly distances?: readonly number[] } {
  if (exposures !== undefined && distances !== undefined) {
    throw new BadInput('give --exposures or --distances, not both');
  }
  const [name, text] =
    exposures !== undefined ? ['--exposures', exposures] : ['--distances', distances];
  if (text === undefined) return {};
  const given = numbers(name, text, 'one number for each photograph', count);
  if (given.some((value) => !(value > 0))) throw new BadInput(`${name} must be greater than 0`);
  return name === '--distances'
    ? { distances: given.map((d) => 1 / d ** 2) }
    : { exposures: given.map((timeS) => ({ timeS })) };
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
