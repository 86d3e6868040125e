/** The search itself: what it finds is the best there is within its limits. */
import { expect, test } from 'vitest';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { characterise } from '../../src/paint/characterise.ts';
import { Film } from '../../src/paint/film.ts';
import { genericPalette } from '../../src/paint/generic-pigments.ts';
import { SURFACE } from '../../src/paint/kubelka-munk.ts';
import { metricAt } from '../../src/paint/metric.ts';
import { searchRecipes, WIDE } from '../../src/paint/search.ts';

const palette = genericPalette();
const pigments = characterise(palette, SURFACE).map(({ K, S }) => ({ K, S, strength: 1 }));
const POT: Readonly<Record<string, number>> = { white: 4, ultramarine: 0.4 };
const effective = Float64Array.from(palette, ({ id }) => POT[id] ?? 0);
const SMALLEST = 0.002;

test.each<[string, LabD65, number]>([
  ['turquoise', labD65(65, -25, -15), 1.5],
  ['brown', labD65(45, 15, 20), 3.2],
  ['celadon', labD65(70, -12, 8), 3.2],
])(
  'where no more may be added, less of one paint for more of another is no nearer to a %s',
  (_, glaze, most) => {
    const metric = metricAt(glaze);
    const film = new Film(SURFACE);
    /** dᵀMd of the difference from the glaze: ΔE₀₀² as the search reckons it. */
    const squared = (amounts: Float64Array) => {
      const d = film.colour(pigments, amounts).map((value, axis) => value - glaze[axis]!);
      return d.reduce(
        (sum, x, i) => sum + x * d.reduce((row, y, j) => row + metric[3 * i + j]! * y, 0),
        0,
      );
    };
    const [best] = searchRecipes(
      { pigments, effective, discrepancyAt: () => labD65(0, 0, 0) },
      glaze,
      metric,
      SURFACE,
      {
        smallest: SMALLEST,
        most,
        potGrams: 4,
        dose: 0,
        growthCost: 0,
        pigments: [...palette.keys()],
        beam: WIDE,
      },
    );
    const found = effective.slice();
    best!.pigments.forEach((p, i) => (found[p]! += best!.grams[i]!));
    expect(squared(found)).toBeCloseTo(best!.cost, 6);
    expect(best!.pigments.length).toBeGreaterThan(1);
    expect(best!.grams.reduce((sum, grams) => sum + grams, 0)).toBeCloseTo(most, 6);
    for (const [i, less] of best!.pigments.entries()) {
      for (const more of best!.pigments) {
        const part = Math.min(0.02, best!.grams[i]! - SMALLEST);
        const exchanged = found.slice();
        exchanged[less]! -= part;
        exchanged[more]! += part;
        expect(squared(exchanged)).toBeGreaterThan(0.995 * best!.cost);
      }
    }
  },
);
