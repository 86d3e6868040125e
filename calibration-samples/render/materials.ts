/** Surfaces made from spectra: the tile, the bench, what lies about, glaze and paint with texture. */
import { mixed, type Colourant } from './colourants.ts';
import type { Random } from './random.ts';
import { thicknessSteps } from './pairs.ts';
import type { SceneTraits, Surface } from './scene.ts';
import { edge, skewedBell, spectrumOf, type Spectrum } from './spectra.ts';
import { clouds, crackle, specks } from './textures.ts';

export const MATT = 1;

/** A white glazed tile: about 0.8, falling in the violet, a slight slant. */
export function tileReflectance(random: Random): Spectrum {
  const level = random.range(0.77, 0.86);
  const slant = random.range(-0.03, 0.045);
  const violet = random.range(0.25, 0.6);
  const dip = random.range(0, 0.012);
  const dipAt = random.range(560, 680);
  return spectrumOf(
    (nm) =>
      level *
      (1 - violet * (1 - edge(nm, 402, 16))) *
      (1 + (slant * (nm - 560)) / 180) *
      (1 - dip * skewedBell(nm, dipAt, 25, 30)),
  );
}

/** Near-grey, slightly slanted: card, paper, walls. */
export function greyish(level: number, slant: number): Spectrum {
  return spectrumOf((nm) =>
    Math.min(0.95, level * (1 + (slant * (nm - 560)) / 180) * (0.82 + 0.18 * edge(nm, 405, 20))),
  );
}

/** Rising from blue to red: wood, cardboard, earth. */
export function brownish(level: number, redness: number): Spectrum {
  return spectrumOf((nm) => level * (0.25 + 0.75 * edge(nm, 560 - 30 * redness, 110)));
}

const plain = (reflectance: Spectrum, roughness = MATT): Surface => ({
  steps: [reflectance],
  roughness,
});

export function tileSurface(random: Random): Surface {
  return {
    ...plain(tileReflectance(random), random.range(0.015, 0.05)),
    waves: { field: clouds(8, random), repeat: [55, 55], depth: random.range(0, 0.004) },
  };
}

/** Wood with grain, card, cloth, or a paper cover. */
export function benchSurface(kind: 'grey' | 'wood' | 'cloth' | 'paper', random: Random): Surface {
  if (kind === 'wood') {
    const light = brownish(random.range(0.35, 0.55), random.range(-0.5, 1));
    return {
      steps: [light.map((v) => v * 0.62), light, light.map((v) => v * 1.3)],
      roughness: MATT,
      mottle: {
        field: clouds(16, random, 4),
        repeat: random.chance(0.5) ? [340, 34] : [30, 320],
        depth: 1,
      },
    };
  }
  const level =
    kind === 'grey'
      ? random.range(0.13, 0.42)
      : kind === 'cloth'
        ? random.range(0.03, 0.1)
        : random.range(0.6, 0.72);
  const base = greyish(level, random.range(-0.06, 0.08));
  const grain = kind === 'cloth' ? 0.25 : 0.04;
  return {
    steps: [base.map((v) => v * (1 - grain)), base, base.map((v) => v * (1 + grain))],
    roughness: MATT,
    mottle: { field: clouds(64, random), repeat: [60, 60], depth: 1 },
  };
}

export const paperSurface = (random: Random): Surface =>
  plain(greyish(random.range(0.72, 0.88), random.range(-0.05, 0.05)));

export const cardSurface = (random: Random): Surface =>
  plain(greyish(random.range(0.3, 0.8), random.range(-0.03, 0.03)));

/** Odds and ends: pencil yellow, rubber red, steel, cardboard, a blue lid. */
export function oddSurface(random: Random): Surface {
  const at = random.range(480, 600);
  const bell = random.range(440, 660);
  return plain(
    random.pick([
      spectrumOf((nm) => 0.06 + 0.55 * edge(nm, at, 30)),
      spectrumOf((nm) => 0.05 + 0.35 * skewedBell(nm, bell, 40, 50)),
      greyish(0.07, 0),
      brownish(0.4, 0.5),
    ]),
    random.chance(0.3) ? 0.15 : MATT,
  );
}

type Mix = readonly (readonly [Colourant, number])[];

/** A glaze with its texture; specks and crackle keep `steps` middle as the colour of the ground. */
export function glazeSurface(
  mix: Mix,
  texture: SceneTraits['texture'],
  amplitude: number,
  random: Random,
): Surface {
  const own = mixed(mix);
  const roughness = random.logRange(0.012, 0.06);
  const waves = {
    field: clouds(8, random),
    repeat: [70, 70],
    depth: random.range(0, 0.005),
  } as const;
  if (texture === 'mottled') {
    return {
      steps: thicknessSteps(mix, 0.04 + 0.36 * amplitude, 9),
      roughness,
      waves,
      mottle: {
        field: clouds(random.pick([32, 64, 128]), random),
        repeat: [40, 40],
        depth: 1,
      },
    };
  }
  if (texture === 'speckled') {
    return {
      steps: [own],
      roughness,
      waves,
      marks: {
        field: specks(Math.round(random.range(20, 160)), random.range(0.8, 2.2), random),
        repeat: [45, 45],
        depth: 0.25 + 0.75 * amplitude,
        reflectance: own.map((v) => 0.35 * v + 0.004),
      },
    };
  }
  if (texture === 'crackled') {
    return {
      steps: [own],
      roughness,
      waves,
      marks: {
        field: crackle(Math.round(random.range(25, 60)), random),
        repeat: [60, 60],
        depth: 0.08 + 0.3 * amplitude,
        reflectance: own.map((v, i) => v * (0.45 + (0.25 * i) / own.length)),
      },
    };
  }
  return { steps: [own], roughness, waves };
}

export function dabSurface(
  mix: Mix,
  finish: SceneTraits['dabFinish'],
  radius: number,
  random: Random,
): Surface {
  return {
    steps: thicknessSteps(mix, random.range(0.002, 0.03), 5),
    roughness:
      finish === 'matt'
        ? MATT
        : finish === 'satin'
          ? random.range(0.16, 0.28)
          : random.range(0.04, 0.1),
    mottle: { field: clouds(8, random), repeat: [4 * radius, 4 * radius], depth: 1 },
    waves: {
      field: clouds(16, random),
      repeat: [5 * radius, 5 * radius],
      depth: random.range(0.002, 0.012),
    },
  };
}
