/**
 * One nudge with and without the second lamp: paints, glazes and lamps of the generator, colours true
 * to its spectra. What counts is what the dab then misses under either lamp.
 */
import { colourant, mixed, type Colourant } from '../../calibration-samples/render/colourants.ts';
import { differenceE00 } from '../../calibration-samples/render/difference.ts';
import { inventGlaze } from '../../calibration-samples/render/pairs.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { labUnder, type Spectrum, type Triple } from '../../calibration-samples/render/spectra.ts';
import { lampLight } from '../../src/colour/lamp-light.ts';
import { labD65 } from '../../src/colour/spaces.ts';
import { answerNudge } from '../../src/paint/answer.ts';
import type { PotGrams } from '../../src/paint/types.ts';

const PAINTS = [
  'white',
  'bone-black',
  'umber',
  'red-oxide',
  'yellow-earth',
  'bright-yellow',
  'blue-cobalt',
  'ultramarine',
  'phthalo',
  'green-oxide',
  'viridian',
  'magenta',
] as const;

export interface NudgedPair {
  /** ΔE₀₀ under the bench lamp and under the other, before and after the nudge. */
  readonly before: readonly [number, number];
  readonly alone: readonly [number, number];
  readonly both: readonly [number, number];
}

/** Undefined where either way finds nothing to add. */
export function nudgedPair(seed: number): NudgedPair | undefined {
  const random = new Random(seed + 77_000);
  const paints = new Map(PAINTS.map((id) => [id as string, colourant('judge', id)]));
  const bench = lampLight('led', 5100).power;
  const kelvin = random.range(2700, 3000);
  const other = lampLight('halogen', kelvin).power;
  const glaze = mixed(inventGlaze('judge', bench, [45, 90], random).mix);
  const paletteLab = (parts: readonly (readonly [Colourant, number])[]) =>
    labD65(...labUnder(bench, mixed(parts)));
  const white = paints.get('white')!;
  const palette = PAINTS.map((id) => {
    const paint = paints.get(id)!;
    return {
      id,
      isWhite: id === 'white',
      masstone: paletteLab([[paint, 1]]),
      ...(id === 'white'
        ? {}
        : {
            tint: {
              lab: paletteLab([
                [paint, 1],
                [white, 9],
              ]),
              pigment: 1,
              white: 9,
            },
          }),
    };
  });
  // A pot as the first guess leaves it: white, a dark and two colours near the glaze.
  const pot = guess(glaze, bench, paints, random);
  const film = (grams: PotGrams) =>
    mixed(Object.entries(grams).map(([id, g]) => [paints.get(id)!, g] as const));
  const off = (grams: PotGrams): readonly [number, number] => [
    differenceE00(labUnder(bench, glaze), labUnder(bench, film(grams))),
    differenceE00(labUnder(other, glaze), labUnder(other, film(grams))),
  ];
  const lab = (lamp: Spectrum, surface: Spectrum) => labD65(...labUnder(lamp, surface));
  const request = {
    palette,
    pot,
    glazeLab: lab(bench, glaze),
    dabLab: lab(bench, film(pot)),
    smallest: 0.002,
  };
  const after = (given: object): readonly [number, number] | undefined => {
    const answer = answerNudge(given);
    if (!answer.ok) throw new Error(answer.error);
    const [best] = answer.suggestions;
    if (!best) return undefined;
    const grams: Record<string, number> = { ...pot };
    for (const [id, g] of Object.entries(best.additions)) grams[id] = (grams[id] ?? 0) + g;
    return off(grams);
  };
  const alone = after(request);
  const both = after({
    ...request,
    lamps: [
      {
        name: 'halogen',
        kind: 'halogen',
        kelvin,
        glazeLab: lab(other, glaze),
        dabLab: lab(other, film(pot)),
      },
    ],
  });
  return alone && both && { before: off(pot), alone, both };
}

/** 5 g of paint within reach of the glaze: the best of 200 random pots. */
function guess(
  glaze: Spectrum,
  lamp: Spectrum,
  paints: ReadonlyMap<string, Colourant>,
  random: Random,
): PotGrams {
  const target: Triple = labUnder(lamp, glaze);
  let best: PotGrams = {};
  let least = Infinity;
  for (let i = 0; i < 200; i++) {
    const pot: Record<string, number> = { white: 4 };
    for (let k = 0; k < 3; k++) pot[random.pick(PAINTS.slice(1))] = random.logRange(0.003, 1);
    const lab = labUnder(
      lamp,
      mixed(Object.entries(pot).map(([id, g]) => [paints.get(id)!, g] as const)),
    );
    const off = differenceE00(target, lab);
    // Near, and not there yet.
    if (Math.abs(off - 5) < Math.abs(least - 5)) [best, least] = [pot, off];
  }
  return best;
}
