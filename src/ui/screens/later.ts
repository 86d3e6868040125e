/**
 * The bench is there at once; the other screens come while it is looked at, or when they are asked
 * for. Once all are here, no other version of the app can take one away from this window.
 */
import type { Route } from '../state/route.ts';

export type Screen = Route['screen'];

/** The files of each. */
const LOAD: Readonly<Record<Screen, readonly (() => Promise<unknown>)[]>> = {
  bench: [],
  pot: [() => import('./pot.ts')],
  jobs: [() => import('./jobs.ts')],
  record: [() => import('./reading.ts')],
  map: [() => import('./map.ts'), () => import('./map-record.ts')],
  piece: [() => import('./treatment.ts')],
  palette: [() => import('./palette.ts')],
  characterise: [() => import('./characterise.ts')],
  light: [() => import('./light.ts')],
  settings: [() => import('./settings.ts')],
  spray: [() => import('./spray.ts')],
  shelf: [() => import('./shelf.ts')],
  film: [() => import('./film.ts')],
  lamps: [() => import('./lamps.ts')],
  profile: [() => import('./profile.ts')],
  tone: [() => import('./tone.ts')],
};

const here = new Set<Screen>(['bench']);

export function isHere(screen: Screen): boolean {
  return here.has(screen);
}

/** Rejects when the screen's file cannot be had; asked again, it tries again. */
export async function bring(screen: Screen): Promise<void> {
  await Promise.all(LOAD[screen].map(fetched));
  here.add(screen);
}

let tries = 0;

/**
 * A window keeps in mind that a module could not be had (HTML Standard, 8.1.4, module map), so what
 * failed once is asked for by another address, which the browser's message names.
 */
async function fetched(load: () => Promise<unknown>): Promise<void> {
  try {
    await load();
  } catch (error) {
    const address = /https?:\S+\.js/.exec(String(error))?.[0];
    if (address === undefined) throw error;
    tries += 1;
    await import(/* @vite-ignore */ `${address}?again=${String(tries)}`).catch(() => {
      throw error;
    });
  }
}

/** One after another, so that nothing waits long for its turn. What fails now comes when asked for. */
export async function bringAll(): Promise<void> {
  for (const screen of Object.keys(LOAD) as Screen[]) await bring(screen).catch(() => undefined);
  // What hands out a file is wanted most when nothing more can be had.
  await import('../../store/bundle-file.ts').catch(() => undefined);
}
