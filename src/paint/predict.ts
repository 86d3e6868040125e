/** What a pot will look like, and where each pigment would pull a dab. */
import { labD65, type LabD65 } from '../colour/spaces.ts';
import { BANDS } from '../colour/grid.ts';
import { learn } from './belief.ts';
import { characterise } from './characterise.ts';
import { NOTHING } from './doses.ts';
import { Film } from './film.ts';
import { labOfOpaqueFilm } from './film-colour.ts';
import { SURFACE } from './kubelka-munk.ts';
import { strengthsOf } from './strengths.ts';
import type { PalettePigment, PotGrams } from './types.ts';

/**
 * Lab D65/2° of an opaque film of the pot, as characterised; no measured dab enters. Grams ≥ 0, at
 * least one above zero, of pigments of the palette; else a RangeError.
 */
export function predictMix(palette: readonly PalettePigment[], pot: PotGrams): LabD65 {
  const { K, S } = mixtureOf(palette, pot);
  return labOfOpaqueFilm(
    K.map((value, band) => value / S[band]!),
    SURFACE,
  );
}

/** K and S of the pot, 36 bands, relative to the S of the palette's white; same errors. */
export function mixtureOf(
  palette: readonly PalettePigment[],
  pot: PotGrams,
): { readonly K: Float64Array; readonly S: Float64Array } {
  const grams = gramsOf(palette, pot);
  const total = grams.reduce((sum, value) => sum + value, 0);
  const K = new Float64Array(BANDS);
  const S = new Float64Array(BANDS);
  characterise(palette, SURFACE).forEach((pigment, p) => {
    const share = (grams[p]! / total) * (palette[p]!.strength ?? 1);
    for (let band = 0; band < BANDS; band++) {
      K[band]! += share * pigment.K[band]!;
      S[band]! += share * pigment.S[band]!;
    }
  });
  return { K, S };
}

/**
 * Where one more gram of each pigment would pull the dab: the direction in Lab per gram, at the pot
 * as its dab shows it to be. Multiply by a dose that is small beside the pot. Same errors as
 * `predictMix`.
 */
export function pull(
  palette: readonly PalettePigment[],
  pot: PotGrams,
  dabLab: LabD65,
): Readonly<Record<string, LabD65>> {
  const grams = gramsOf(palette, pot);
  const { pigments, effective } = learn(
    characterise(palette, SURFACE),
    strengthsOf(palette),
    [{ grams, lab: dabLab }],
    SURFACE,
  );
  const film = new Film(SURFACE);
  film.colour(pigments, effective, true);
  return Object.fromEntries(
    pigments.map((pigment, p) => {
      film.share(pigment, pigment.strength);
      return [palette[p]!.id, labD65(film.perLogMass(0), film.perLogMass(1), film.perLogMass(2))];
    }),
  );
}

/** Grams in the order of the palette. */
function gramsOf(palette: readonly PalettePigment[], pot: PotGrams): Float64Array {
  for (const [id, grams] of Object.entries(pot)) {
    if (!palette.some((pigment) => pigment.id === id)) {
      throw new RangeError(`pigment “${id}” is not in the palette`);
    }
    if (!(grams >= 0 && Number.isFinite(grams)))
      throw new RangeError(`“${id}”: ${grams} g is not a mass`);
  }
  const grams = Float64Array.from(palette, ({ id }) => pot[id] ?? 0);
  if (grams.every((value) => value <= NOTHING)) throw new RangeError('the pot is empty');
  return grams;
}
