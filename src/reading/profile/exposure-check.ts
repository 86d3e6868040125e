/** What photographs say of their exposure, held against what they show. */
import { lightOfExposure, type ExposedShot, type ShotExposure } from './exposed-shots.ts';

export interface NamedShot extends ExposedShot {
  readonly name: string;
}

/** Light within this, ln, is the same: a third of a stop is 0.23. */
const SAME_LIGHT = 0.02;
/** Codes further apart than this, share of range, are not: noise and rounding of a patch's mean are a tenth. */
const OTHER_CODE = 0.012;

export interface Changed {
  readonly fNumber: boolean;
  readonly iso: boolean;
}

/** Whether what the shots say of aperture and sensitivity differs; what some do not say does not count. */
export function changedIn(
  exposures: readonly (Omit<ShotExposure, 'timeS'> | undefined)[],
): Changed {
  const differs = (values: readonly (number | undefined)[]) =>
    new Set(values.filter((value) => value !== undefined)).size > 1;
  return {
    fNumber: differs(exposures.map((one) => one?.fNumber)),
    iso: differs(exposures.map((one) => one?.iso)),
  };
}

/** One line where aperture or sensitivity changed. */
export function changedWarning({ fNumber, iso }: Changed): readonly string[] {
  if (!fNumber && !iso) return [];
  const what = fNumber && iso ? 'Aperture and ISO' : fNumber ? 'The aperture' : 'The ISO';
  const it = fNumber && iso ? 'them' : 'it';
  return [
    `${what} changed from shot to shot. The light is reckoned with ${it}, less surely: hold ${it} if you can.`,
  ];
}

/**
 * Two shots of the same exposure whose codes differ: the pair that differs most, in one line.
 * @param subject what the shots show, with its article
 */
export function unlikeWarning(shots: readonly NamedShot[], subject: string): readonly string[] {
  let worst: { readonly off: number; readonly line: string } | undefined;
  shots.forEach((one, i) => {
    for (const other of shots.slice(i + 1)) {
      const ratio = lightOfExposure(one.exposure) / lightOfExposure(other.exposure);
      if (Math.abs(Math.log(ratio)) > SAME_LIGHT) continue;
      const off = furthest(one.places, other.places);
      if (Math.abs(off) <= Math.max(OTHER_CODE, Math.abs(worst?.off ?? 0))) continue;
      const [dark, bright] = off > 0 ? [one, other] : [other, one];
      worst = {
        off,
        line: `${dark.name} and ${bright.name} have the same exposure, yet ${subject} is brighter in ${bright.name}: the lamp changed, or the camera brightened it by itself.`,
      };
    }
  });
  return worst ? [worst.line] : [];
}

/** Of all places and channels the largest change of code from one shot to the other. */
function furthest(from: ExposedShot['places'], to: ExposedShot['places']): number {
  return from.reduce<number>((most, codes, i) => {
    const others = to[i];
    if (!codes || !others) return most;
    return codes.reduce((so, code, k) => {
      const off = others[k]! - code;
      return Math.abs(off) > Math.abs(so) ? off : so;
    }, most);
  }, 0);
}

/** What is said of an exposure, where it holds a time; what is left out is taken to have been held. */
export const timed = (said: Partial<ShotExposure> | undefined): ShotExposure | undefined =>
  said?.timeS === undefined ? undefined : { ...said, timeS: said.timeS };

/** Where the exposure should have been held: one line when it was not. */
export function heldWarning(exposures: readonly (ShotExposure | undefined)[]): readonly string[] {
  const said = exposures.filter((one) => one !== undefined);
  const all = (what: 'fNumber' | 'iso') => said.every((one) => one[what] !== undefined);
  const [hasAperture, hasIso] = [all('fNumber'), all('iso')];
  const ln = said.map(({ timeS, fNumber, iso }) =>
    Math.log(
      lightOfExposure({
        timeS,
        ...(hasAperture && fNumber && { fNumber }),
        ...(hasIso && iso && { iso }),
      }),
    ),
  );
  return Math.max(...ln) - Math.min(...ln) > SAME_LIGHT
    ? ['By their own data the photographs differ in exposure: hold it, or let exposure time vary.']
    : [];
}
