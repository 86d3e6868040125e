/**
 * Additions that hold under more than one lamp. The same pot's dab, read under another lamp, is moved
 * by the change that the palette's rebuilt spectra predict under that lamp's light, just as it is under
 * the bench lamp, and what it then misses counts beside what it misses there.
 */
import { deltaE00 } from '../colour/ciede2000.ts';
import { BANDS, reflectance } from '../colour/grid.ts';
import { lampLight } from '../colour/lamp-light.ts';
import { labD65 } from '../colour/spaces.ts';
import { labD65FromReflectance } from '../colour/spectra.ts';
import type { Judge, Judged } from './judge.ts';
import { readReflectance, reflectanceFromKOverS, SURFACE } from './kubelka-munk.ts';
import type { Ground } from './search.ts';
import type { MissUnderLamp, OtherLamp } from './types.ts';

/** A miss under another lamp counts half of one under the bench lamp: ΔE₀₀² times this. */
const WEIGHT = 0.5;

/** What a dab misses under each other lamp once `additions` are in the pot, grams by place. */
export type MissesUnderLamps = (additions: Float64Array) => readonly MissUnderLamp[];

export function missesUnderLamps(
  { pigments, effective }: Pick<Ground, 'pigments' | 'effective'>,
  lamps: readonly OtherLamp[],
): MissesUnderLamps {
  const filmAfter = (additions: Float64Array) => {
    const film = new Float64Array(BANDS);
    for (let band = 0; band < BANDS; band++) {
      let [K, S] = [0, 0];
      pigments.forEach((pigment, p) => {
        const amount = effective[p]! + pigment.strength * additions[p]!;
        K += amount * pigment.K[band]!;
        S += amount * pigment.S[band]!;
      });
      film[band] = readReflectance(reflectanceFromKOverS(K / S), SURFACE);
    }
    return reflectance(film);
  };
  const asItIs = filmAfter(new Float64Array(pigments.length));
  const lit = lamps.map((lamp) => {
    const light = lampLight(lamp.kind, lamp.kelvin);
    return { lamp, light, before: labD65FromReflectance(asItIs, light) };
  });
  return (additions) => {
    const film = filmAfter(additions);
    return lit.map(({ lamp, light, before }) => {
      const after = labD65FromReflectance(film, light);
      const lab = labD65(
        ...([0, 1, 2].map((k) => lamp.dabLab[k]! + after[k]! - before[k]!) as [
          number,
          number,
          number,
        ]),
      );
      return { name: lamp.name, lab, deltaE00: deltaE00(lamp.glazeLab, lab) };
    });
  };
}

/** The judge with the other lamps in what it expects and in the cost; the same judge without any. */
export function judgeUnderLamps(judge: Judge, misses: MissesUnderLamps | undefined): Judge {
  if (!misses) return judge;
  return (additions) => {
    const judged = judge(additions);
    const more = misses(additions).reduce((sum, miss) => sum + WEIGHT * miss.deltaE00 ** 2, 0);
    return { ...judged, expected: judged.expected + more, cost: judged.cost + more };
  };
}

/** Recipes whose amounts are sought anew, and by what factors. */
const SOUGHT = 8;
const FACTORS = [0.6, 0.85, 1.15, 1.6] as const;

/**
 * The search knows the bench lamp alone: the amounts of the best recipes are moved until no step makes
 * them better under all lamps together. `most` is the mass that may be added in all, g.
 */
export function soughtUnderLamps(
  found: readonly Judged[],
  judge: Judge,
  doseable: (grams: number, pigment: number) => number,
  most: number,
): Judged[] {
  const sorted = [...found].sort((a, b) => a.cost - b.cost);
  return sorted.map((item, rank) => (rank < SOUGHT ? sought(item, judge, doseable, most) : item));
}

function sought(
  start: Judged,
  judge: Judge,
  doseable: (grams: number, pigment: number) => number,
  most: number,
): Judged {
  let best = start;
  for (let round = 0; round < 3; round++) {
    const before = best;
    best.additions.forEach((grams, p) => {
      if (grams === 0) return;
      for (const factor of FACTORS) {
        const additions = Float64Array.from(best.additions);
        additions[p] = doseable(grams * factor, p);
        if (additions.reduce((sum, g) => sum + g, 0) > most) continue;
        const trial = judge(additions);
        if (trial.cost < best.cost) best = trial;
      }
    });
    if (best === before) break;
  }
  return best;
}
