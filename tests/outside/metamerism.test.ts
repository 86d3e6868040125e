import Color from 'colorjs.io';
import { describe, expect, it } from 'vitest';
import { BANDS, reflectance, WAVELENGTHS_NM, type Reflectance } from '../../src/colour/grid.ts';
import { A, D65, F11, type Illuminant } from '../../src/colour/illuminants.ts';
import { metamerismIndex, metamerismIndexOfLab } from '../../src/colour/metamerism.ts';
import { OBSERVER_1931 } from '../../src/colour/observers.ts';
import { labD65 } from '../../src/colour/spaces.ts';

type Triple = [number, number, number];

/**
 * X, Y, Z over the lamp's white, by the sums of CIE 15:2004 eq. 7.1 over the 5 nm tables of observer
 * and lamp; reflectance between its 10 nm values by Lagrange's polynomial through the four nearest
 * (three at the ends), and constant beyond 730 nm (7.2.2, 7.2.3).
 */
function relativeXyz(surface: ArrayLike<number>, { power }: Illuminant): Triple {
  const at5nm = (k: number): number => {
    const nm = 380 + 5 * k;
    if (nm >= 730) return surface[BANDS - 1]!;
    const left = Math.floor((nm - 380) / 10);
    if (nm === 380 + 10 * left) return surface[left]!;
    const nodes = [left - 1, left, left + 1, left + 2].filter((n) => n >= 0 && n < BANDS);
    return nodes.reduce((sum, n) => {
      const basis = nodes
        .filter((m) => m !== n)
        .reduce(
          (p, m) => (p * (nm - WAVELENGTHS_NM[m]!)) / (WAVELENGTHS_NM[n]! - WAVELENGTHS_NM[m]!),
          1,
        );
      return sum + basis * surface[n]!;
    }, 0);
  };
  const { xBar, yBar, zBar } = OBSERVER_1931;
  return [xBar, yBar, zBar].map((bar) => {
    let [light, white] = [0, 0];
    for (let k = 0; k < 81; k++) {
      light += power[k]! * bar[k]! * at5nm(k);
      white += power[k]! * bar[k]!;
    }
    return light / white;
  }) as Triple;
}

/** CIELAB by ISO/CIE 11664-4 eq. 1–6 from X/Xn, Y/Yn, Z/Zn. */
function lab([x, y, z]: Triple): Triple {
  const f = (t: number) => (t > (24 / 116) ** 3 ? Math.cbrt(t) : (841 / 108) * t + 16 / 116);
  return [116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))];
}
/** ΔE₀₀ by another library; only the numbers count, its white does not. */
const libraryDeltaE00 = (p: Triple, q: Triple) =>
  new Color('lab', p).deltaE(new Color('lab', q), '2000');

/**
 * A spectrum without colour under a lamp, Cohen and Kappauf 1982 (“Metameric color stimuli,
 * fundamental metamers, and Wyszecki's metameric blacks”, Am. J. Psychol. 95): what is left of any
 * spectrum when its part in the space of the three weightings is taken off.
 */
function metamericBlack(of: readonly number[], lamp: Illuminant): number[] {
  const rows: number[][] = [[], [], []];
  for (let band = 0; band < BANDS; band++) {
    const unit = Float64Array.from({ length: BANDS }, (_, i) => (i === band ? 1 : 0));
    relativeXyz(unit, lamp).forEach((v, k) => rows[k]!.push(v));
  }
  const base: number[][] = [];
  for (const row of rows) {
    let rest = row;
    for (const unit of base) rest = minus(rest, unit, dot(rest, unit));
    base.push(rest.map((v) => v / Math.sqrt(dot(rest, rest))));
  }
  return base.reduce((rest, unit) => minus(rest, unit, dot(rest, unit)), [...of]);
}
const dot = (p: readonly number[], q: readonly number[]) =>
  p.reduce((sum, v, i) => sum + v * q[i]!, 0);
const minus = (p: readonly number[], q: readonly number[], by: number) =>
  p.map((v, i) => v - by * q[i]!);

/** A smooth glaze, and the same with a metameric black of a narrow band added. */
const GLAZE = WAVELENGTHS_NM.map((nm) => 0.35 + 0.15 * Math.sin((nm - 380) / 90));
const BLACK = metamericBlack(
  WAVELENGTHS_NM.map((nm) => Math.exp(-(((nm - 600) / 22) ** 2))),
  D65,
);
const DAB = GLAZE.map((v, i) => v + 0.6 * BLACK[i]!);
const glaze = reflectance(GLAZE);
const dab = reflectance(DAB);

describe('special metamerism index, change in illuminant (CIE 15:2004, 9.2.1)', () => {
  it.each([A, F11])(
    'a match under D65 that parts under another lamp, worked from the tables',
    (lamp) => {
      const [p, q] = [lab(relativeXyz(GLAZE, lamp)), lab(relativeXyz(DAB, lamp))];
      const found = metamerismIndex(glaze, dab, D65, lamp);
      expect(found.residual).toBeLessThan(1e-9);
      expect(found.deltaEab).toBeCloseTo(Math.hypot(q[0] - p[0], q[1] - p[1], q[2] - p[2]), 6);
      expect(found.deltaE00).toBeCloseTo(libraryDeltaE00(p, q), 6);
      expect(found.deltaEab).toBeGreaterThan(1);
      expect(metamerismIndex(glaze, dab, D65, lamp, 'additive').deltaEab).toBeCloseTo(
        found.deltaEab,
        6,
      );
    },
  );

  it('a residual mismatch is corrected by X, Y, Z of standard over sample (9.2.3)', () => {
    const near = reflectance(DAB.map((v, i) => v * (0.97 + 0.0008 * i)));
    const [Gr, Dr] = [relativeXyz(GLAZE, D65), relativeXyz(near, D65)];
    const [Gt, Dt] = [relativeXyz(GLAZE, A), relativeXyz(near, A)];
    const byRatio = lab(Dt.map((v, k) => (v * Gr[k]!) / Dr[k]!) as Triple);
    const bySum = lab(Dt.map((v, k) => v + Gr[k]! - Dr[k]!) as Triple);
    expect(metamerismIndex(glaze, near, D65, A).deltaE00).toBeCloseTo(
      libraryDeltaE00(lab(Gt), byRatio),
      6,
    );
    expect(metamerismIndex(glaze, near, D65, A, 'additive').deltaE00).toBeCloseTo(
      libraryDeltaE00(lab(Gt), bySum),
      6,
    );
  });

  it('is nothing where no metamerism is: identities of the two corrections', () => {
    const times: Reflectance = reflectance(GLAZE.map((v) => 0.8 * v));
    const plus: Reflectance = reflectance(GLAZE.map((v) => 0.1 + v));
    expect(metamerismIndex(glaze, glaze, D65, A).deltaE00).toBe(0);
    expect(metamerismIndex(glaze, times, D65, A).deltaEab).toBeLessThan(1e-9);
    expect(metamerismIndex(glaze, times, D65, A).residual).toBeGreaterThan(4);
    expect(metamerismIndex(glaze, plus, D65, A, 'additive').deltaEab).toBeLessThan(1e-9);
  });

  it('two readings of colours give the same as the spectra they came from', () => {
    const under = (lamp: Illuminant) => ({
      standard: labD65(...lab(relativeXyz(GLAZE, lamp))),
      sample: labD65(...lab(relativeXyz(DAB, lamp))),
    });
    expect(metamerismIndexOfLab(under(D65), under(F11)).deltaE00).toBeCloseTo(
      metamerismIndex(glaze, dab, D65, F11).deltaE00,
      6,
    );
  });

  it('says so when there is nothing to divide by', () => {
    const pair = { standard: labD65(50, 0, 0), sample: labD65(0, 0, 0) };
    expect(() => metamerismIndexOfLab(pair, pair)).toThrow('no light to correct by');
  });
});
