/** The sums of the spray bench against the trade's identities and published tables. */
import { describe, expect, test } from 'vitest';
import { areaOf, inTiles, shapeFaults } from '../../../src/paint/spray/area-shapes.ts';
import {
  batchFaults,
  batchOf,
  mediumWeighed,
  MOST_MEDIUM_PERCENT,
  USUAL_BATCH,
  willItDo,
} from '../../../src/paint/spray/batch.ts';
import { paintOnPiece, spreadingRate } from '../../../src/paint/spray/coverage.ts';
import { guideFor } from '../../../src/paint/spray/guide.ts';
import { typedIn } from '../../../src/paint/spray/measure.ts';
import { grams, micrometres, squareCentimetres } from '../../../src/paint/spray/quantities.ts';
import { stepsOf } from '../../../src/paint/spray/steps.ts';
import { FLOW_CUPS, kinematicViscosity } from '../../../src/paint/spray/thinning.ts';

describe('coverage', () => {
  // The coatings trade's rule: m²/L = 10 × volume solids % ÷ dry film µm. 40 % at 40 µm is the data
  // sheets' everyday line "10 m²/L" (from memory); a litre of pure solids at 1 mm covers 1 m².
  test.each([
    [40, 40, 10],
    [50, 100, 5],
    [100, 1000, 1],
  ])('%d %% solids at %d µm covers %d m² a litre', (solids, film, expected) => {
    expect(spreadingRate(solids, micrometres(film))).toBeCloseTo(expected, 12);
  });
  test('1 m² in one coat takes a litre over the spreading rate', () => {
    expect(paintOnPiece(squareCentimetres(1e4), 1, 40, micrometres(40))).toBeCloseTo(100, 9);
  });
});

describe('areas', () => {
  // Elementary geometry.
  test('a band once round is the mantle of a cylinder', () => {
    const band = { kind: 'band', diameterMm: 100, heightMm: 10, turn: 1 } as const;
    expect(areaOf(band).area).toBeCloseTo(31.4159, 4);
  });
  test('a ring and the disc in it make the larger disc', () => {
    const ring = areaOf({ kind: 'ring', outerMm: 50, innerMm: 30 }).area;
    const disc = areaOf({ kind: 'disc', diameterMm: 30 }).area;
    expect(ring + disc).toBeCloseTo(areaOf({ kind: 'disc', diameterMm: 50 }).area, 9);
  });
  test('an outline as large as two tiles is two tiles', () => {
    const square = (x: number, y: number, w: number, h: number) => [
      { x, y },
      { x: x + w, y },
      { x: x + w, y: y + h },
      { x, y: y + h },
    ];
    const tiles = inTiles(square(300, 10, 100, 40), square(0, 0, 40, 50));
    expect(tiles).toBe(2);
    const shape = { kind: 'picture', tileWidthMm: 100, tileHeightMm: 100, tiles } as const;
    expect(areaOf(shape).area).toBe(200);
    expect(areaOf(shape).relative).toBeGreaterThan(
      areaOf({ kind: 'disc', diameterMm: 1 }).relative,
    );
  });
  test('no area, a negative length and a ring turned inside out are said at their field', () => {
    const fields = (shape: Parameters<typeof shapeFaults>[0]) =>
      shapeFaults(shape).map(({ field }) => field);
    expect(fields({ kind: 'rectangle', lengthMm: 0, widthMm: -2 })).toEqual([
      'lengthMm',
      'widthMm',
    ]);
    expect(fields({ kind: 'ring', outerMm: 20, innerMm: 20 })).toEqual(['innerMm']);
    expect(fields({ kind: 'band', diameterMm: 50, heightMm: 5, turn: 1.2 })).toEqual(['turn']);
    expect(fields({ kind: 'disc', diameterMm: Number.NaN })).toEqual(['diameterMm']);
    expect(fields({ kind: 'ring', outerMm: 20, innerMm: 0 })).toEqual([]);
  });
});

describe('a batch', () => {
  const area = squareCentimetres(10);
  test('by hand: 10 cm², 3 × 10 µm at 30 %, half lost, 1 ml dead, thinned 1 : 1', () => {
    // 10 cm² × 30 µm = 0.03 ml of solids → 0.1 ml of paint on the piece → 0.2 ml sprayed;
    // 1 ml thinned 1 : 1 in cup and line holds 0.5 ml of paint.
    const batch = batchOf(area, 0.1, {
      ...USUAL_BATCH,
      volumeSolidsPercent: 30,
      transferPercent: 50,
      deadMl: 1,
      densityGramsPerMl: 2,
      mediumPercent: 10,
    });
    expect(batch.onPieceMl).toBeCloseTo(0.1, 12);
    expect(batch.lostToAirMl).toBeCloseTo(0.1, 12);
    expect(batch.leftInBrushMl).toBeCloseTo(0.5, 12);
    expect(batch.paint).toBeCloseTo(1.4, 12);
    expect(batch.thinnerMl).toBeCloseTo(0.7, 12);
    expect(batch.colour).toBeCloseTo(1.4 / 1.1, 12);
  });
  test('the range is that of a simulation of its inputs', () => {
    // JCGM 101: the same by Monte Carlo, a plain linear congruential generator and sums of twelve.
    let state = 1;
    const uniform = () => (state = (state * 48271) % 2147483647) / 2147483647;
    const normal = () => Array.from({ length: 12 }, uniform).reduce((a, b) => a + b, -6);
    const inputs = { ...USUAL_BATCH, deadMl: 0.4 };
    const sums = Array.from({ length: 20_000 }, () => {
      const vary = (relative: number) => Math.exp(relative * normal());
      const sprayed = ((10 * 30e-4) / 0.35 / 0.4) * vary(0.1) * vary(0.2) * vary(0.1) * vary(0.15);
      return (sprayed + 0.2 * (1 + 0.2 * normal())) * 1.2;
    }).sort((a, b) => a - b);
    const { range } = batchOf(area, 0.1, inputs);
    expect(range[0] / sums[500]!).toBeCloseTo(1, 1);
    expect(range[1] / sums[19_500]!).toBeCloseTo(1, 1);
  });
  test('each field out of its range is named', () => {
    const wrong: readonly (readonly [Partial<typeof USUAL_BATCH>, string, RegExp])[] = [
      [{ coats: -1 }, 'coats', /from 1/],
      [{ coats: 1.5 }, 'coats', /whole/],
      [{ densityGramsPerMl: 0 }, 'densityGramsPerMl', /g\/ml/],
      [{ volumeSolidsPercent: 120 }, 'volumeSolidsPercent', /100/],
      [{ transferPercent: 0 }, 'transferPercent', /from 5/],
      [{ mediumPercent: 12 }, 'mediumPercent', /one tenth/],
      [{ mediumPercent: 130 }, 'mediumPercent', /more medium than paint/],
      [{ deadMl: Number.NaN }, 'deadMl', /number/],
    ];
    for (const [part, field, message] of wrong) {
      const faults = batchFaults({ ...USUAL_BATCH, ...part });
      expect(faults.map((fault) => fault.field)).toEqual([field]);
      expect(faults[0]!.message).toMatch(message);
    }
  });
  test('medium: well below one tenth by default, one tenth at most', () => {
    // Common practice, no source.
    expect(USUAL_BATCH.mediumPercent).toBeLessThan(10);
    expect(MOST_MEDIUM_PERCENT).toBe(10);
    expect(batchFaults(USUAL_BATCH)).toEqual([]);
    expect(batchFaults({ ...USUAL_BATCH, mediumPercent: 10 })).toEqual([]);
  });
  test('what is left is enough, perhaps, or not', () => {
    expect(willItDo(3, [1, 2])).toBe('enough');
    expect(willItDo(1.5, [1, 2])).toBe('perhaps not enough');
    expect(willItDo(0.5, [1, 2])).toBe('not enough');
  });
});

describe('flow cups', () => {
  // The viscosity ranges the standards print for each cup at the ends of its times: ISO 2431, clause
  // on cups (7–42, 34–135, 91–326, 188–684 mm²/s at 30–100 s; from memory); ASTM D1200 as tabled by
  // a maker of viscosity standards (Ford 1: 55–100 s, 10–35 mm²/s; Ford 2: 40–100 s, 32–118 mm²/s).
  test.each([
    ['ISO 2431, 3 mm', 30, 7],
    ['ISO 2431, 3 mm', 100, 42],
    ['ISO 2431, 4 mm', 30, 34],
    ['ISO 2431, 4 mm', 100, 135],
    ['ISO 2431, 5 mm', 30, 91],
    ['ISO 2431, 5 mm', 100, 326],
    ['ISO 2431, 6 mm', 30, 188],
    ['ISO 2431, 6 mm', 100, 684],
    ['Ford no. 1', 55, 10],
  ])('%s, %d s: %d mm²/s', (name, seconds, expected) => {
    const answer = kinematicViscosity(
      FLOW_CUPS.find((cup) => cup.name === name)!,
      seconds,
    );
    expect(answer.ok && Math.abs(answer.squareMillimetresPerSecond - expected)).toBeLessThan(0.7);
  });
  // Printed drain times of viscosity standards (cannoninstrument.com/Cups.htm, C10, C60, C100):
  // 17 mm²/s runs 70 s from Ford 1; 120 mm²/s 58 s from Ford 3 and 36 s from Ford 4; 230 mm²/s 64 s
  // from Ford 4.
  test.each([
    ['Ford no. 1', 70, 17],
    ['Ford no. 3', 58, 120],
    ['Ford no. 4', 36, 120],
    ['Ford no. 4', 64, 230],
  ])('%s, %d s is an oil of %d mm²/s', (name, seconds, oil) => {
    const answer = kinematicViscosity(
      FLOW_CUPS.find((cup) => cup.name === name)!,
      seconds,
    );
    expect(answer.ok && Math.abs(answer.squareMillimetresPerSecond / oil - 1)).toBeLessThan(0.03);
  });
  test('outside its times a cup says nothing', () => {
    for (const cup of FLOW_CUPS) {
      for (const time of [0, Number.NaN, cup.seconds[0] - 1, cup.seconds[1] + 1]) {
        expect(kinematicViscosity(cup, time).ok).toBe(false);
      }
    }
  });
});

describe('what is typed', () => {
  test.each([
    ['mm', '12,5', 12.5],
    ['mm', '12 mm', 12],
    ['ml', '0.5ml', 0.5],
    ['in', '2"', 2],
  ])('in %s: %s', (unit, text, value) => {
    expect(typedIn(unit, text)).toEqual({ ok: true, value });
  });
  test.each([
    ['mm', '2 cm', /in mm.*in cm/],
    ['cm', '3 in', /in cm.*in in/],
    ['ml', '4 drops', /in ml.*in drops/],
    ['g', '1 ml', /in g.*in ml/],
    ['mm', 'wide', /no number/],
    ['mm', '3 ells', /no unit/],
    ['mm', '', /give a number/],
  ])('in %s, %s is stopped', (unit, text, message) => {
    const typed = typedIn(unit, text);
    expect(typed.ok ? '' : typed.message).toMatch(message);
  });
});

test('the order of work: stop a hollow before the mask, look after every coat, clean last', () => {
  // Common practice, no source.
  const kinds = stepsOf(3, true).map(({ kind }) => kind);
  expect(kinds.indexOf('stop-hollow')).toBe(kinds.indexOf('mask') - 1);
  expect(kinds.filter((kind) => kind === 'mist' || kind === 'coat')).toHaveLength(3);
  expect(kinds.filter((kind) => kind === 'check')).toHaveLength(3);
  expect(kinds.slice(0, 3)).toEqual(['bind', 'thin', 'card']);
  expect(kinds.at(-1)).toBe('clean');
  expect(stepsOf(1, false).map(({ kind }) => kind)).not.toContain('stop-hollow');
});

test('a wider nozzle is held further off at a higher pressure', () => {
  const fine = guideFor(0.2)!;
  const wide = guideFor(0.5)!;
  expect(wide.pressureBar[1]).toBeGreaterThan(fine.pressureBar[1]);
  expect(wide.distanceMm[1]).toBeGreaterThan(fine.distanceMm[1]);
  expect(guideFor(5)).toBeUndefined();
  expect(guideFor(0)).toBeUndefined();
});

test('medium under a step of the scale is not weighed, under five steps only coarsely', () => {
  // By hand: half a step off in five is a tenth of the share.
  expect(mediumWeighed({ medium: grams(0.004) }, 0.01)).toBe('not at all');
  expect(mediumWeighed({ medium: grams(0.025) }, 0.01)).toBe('coarsely');
  expect(mediumWeighed({ medium: grams(0.05) }, 0.01)).toBe('well');
  expect(mediumWeighed({ medium: grams(0.025) }, 0.001)).toBe('well');
  expect(mediumWeighed({ medium: grams(0) }, 0.01)).toBe('well');
});
