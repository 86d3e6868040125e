/** The figures of the readings, from outcomes: each line with what is to be reached. */
import type { FilmOutcome } from './film.ts';
import type { NudgeFigures } from './nudges.ts';
import type { SceneOutcome } from './one-scene.ts';

export interface Figure {
  readonly name: string;
  readonly reach: string;
  readonly got: string;
  /** The same by means of patches. */
  readonly baseline: string;
  /**
   * By the camera alone without scene or noise; by a reader told all but the noise, and by one told all
   * but that and how much light falls on the piece.
   */
  readonly camera?: string;
  readonly told?: string;
  /** Undefined for figures that are told for the record only. */
  readonly reached: boolean | undefined;
}

export const mean = (values: readonly number[]): number =>
  values.length === 0 ? NaN : values.reduce((sum, v) => sum + v, 0) / values.length;

export function quantile(values: readonly number[], q: number): number {
  if (values.length === 0) return NaN;
  const sorted = [...values].sort((a, b) => a - b);
  const at = q * (sorted.length - 1);
  const i = Math.floor(at);
  return sorted[i]! + (at - i) * ((sorted[i + 1] ?? sorted[i]!) - sorted[i]!);
}

const share = (part: number, whole: number): number => (whole === 0 ? NaN : part / whole);
const percent = (part: number, whole: number): string =>
  whole === 0 ? 'none' : `${((100 * part) / whole).toFixed(1)} % (${part}/${whole})`;
const n = (value: number): string => (Number.isNaN(value) ? 'none' : value.toFixed(2));

export const covered = ({ answer, true: t }: SceneOutcome): boolean =>
  answer !== undefined &&
  answer.interval95[0] <= t.deltaE00 + 1e-9 &&
  t.deltaE00 <= answer.interval95[1] + 1e-9;

export function readingFigures(all: readonly SceneOutcome[]): readonly Figure[] {
  const general = all.filter(({ kind }) => kind !== 'fault');
  const ordinary = general.filter(({ kind }) => kind === 'ordinary');
  const answered = general.filter(({ answer }) => answer);
  const same = ordinary.filter(({ pigments }) => pigments === 'same');
  const sameErrors = same.flatMap(({ answer }) => (answer ? [answer.error] : []));
  const sameCamera = same.flatMap(({ cameraError }) => cameraError ?? []);
  const sameBase = same.flatMap(({ baseline }) => (baseline ? [baseline.error] : []));
  const off = (read: number | undefined, { true: t }: SceneOutcome) =>
    read === undefined ? [] : [Math.abs(read - t.deltaE00)];
  const sameOff = same.flatMap((o) => off(o.answer?.deltaE00, o));
  const sameCameraOff = same.flatMap((o) => off(o.cameraDeltaE00, o));
  const others = ordinary.filter(({ pigments }) => pigments === 'other');
  const otherCameraOff = others.flatMap((o) => off(o.cameraDeltaE00, o));
  const sameToldOff = same.flatMap((o) => off(o.toldDeltaE00, o));
  const sameLitOff = same.flatMap((o) => off(o.toldAtLightReadDeltaE00, o));
  const sameBaseOff = same.flatMap((o) => off(o.baseline?.deltaE00, o));
  // "Equal" allows for what uneven thickness of the dab does to its mean.
  const equal = ordinary.filter(({ true: t }) => t.deltaE00 < 0.1);
  const equalRead = equal.flatMap(({ answer }) => (answer ? [answer.deltaE00] : []));
  const equalTold = equal.flatMap(({ toldDeltaE00 }) => toldDeltaE00 ?? []);
  const equalBase = equal.flatMap(({ baseline }) => (baseline ? [baseline.deltaE00] : []));
  const lit = general.filter(({ kind }) => kind === 'highlight');
  const litWrong = lit.filter(({ answer }) => answer && answer.error > 0.9);
  const litCamera = litWrong.filter(({ cameraError }) => cameraError && cameraError > 0.9);
  const litBase = lit.filter(({ baseline }) => baseline && baseline.error > 0.9);
  const refusedOrdinary = ordinary.filter(({ answer }) => !answer);
  const inside = answered.filter(covered).length;
  const widths = answered.flatMap(({ answer }) =>
    answer ? [(answer.interval95[1] - answer.interval95[0]) / 2] : [],
  );
  const verdicts = answered.flatMap(({ answer, true: t }) =>
    (answer?.verdicts ?? []).map((v) => ({ ...v, truth: t.deltaE00 })),
  );
  const issued = verdicts.filter(({ verdict }) => verdict !== 'unsure');
  const wrong = issued.filter(({ verdict, threshold, truth }) =>
    verdict === 'blends' ? truth > threshold : truth <= threshold,
  );
  const clear = verdicts.filter(({ threshold, truth }) => Math.abs(truth - threshold) > 0.7);
  const unsure = clear.filter(({ verdict }) => verdict === 'unsure');
  const coverage = share(inside, answered.length);
  const faultLine = (fault: string, reasons: readonly string[]): Figure => {
    const scenes = all.filter((outcome) => outcome.fault === fault);
    const right = scenes.filter(
      ({ refused, remedies }) => refused.some((r) => reasons.includes(r)) && remedies,
    ).length;
    const anyhow = scenes.filter(({ answer }) => !answer).length;
    return {
      name: `${fault}: refused with the remedy`,
      reach: 'always',
      got: `${percent(right, scenes.length)}${anyhow > right ? `, ${anyhow - right} for another reason` : ''}`,
      baseline: 'never',
      reached: scenes.length > 0 && right === scenes.length,
    };
  };
  return [
    {
      name: 'ΔE₀₀ error, same pigments, ordinary: mean |read − true|',
      reach: '≤ 0.20',
      got: `${n(mean(sameOff))} (${sameOff.length})`,
      baseline: n(mean(sameBaseOff)),
      camera: n(mean(sameCameraOff)),
      told: `${n(mean(sameToldOff))}, but for the light ${n(mean(sameLitOff))}`,
      reached: mean(sameOff) <= 0.2,
    },
    {
      name: '… 95th percentile',
      reach: '≤ 0.60',
      got: n(quantile(sameOff, 0.95)),
      baseline: n(quantile(sameBaseOff, 0.95)),
      camera: n(quantile(sameCameraOff, 0.95)),
      told: `${n(quantile(sameToldOff, 0.95))}, but for the light ${n(quantile(sameLitOff, 0.95))}`,
      reached: quantile(sameOff, 0.95) <= 0.6,
    },
    {
      name: '… as a colour: ΔE₀₀ from the difference read to the true one, mean',
      reach: 'for the record',
      got: n(mean(sameErrors)),
      baseline: n(mean(sameBase)),
      camera: n(mean(sameCamera)),
      reached: undefined,
    },
    {
      name: '… 95th percentile',
      reach: 'for the record',
      got: n(quantile(sameErrors, 0.95)),
      baseline: n(quantile(sameBase, 0.95)),
      camera: n(quantile(sameCamera, 0.95)),
      reached: undefined,
    },
    {
      name: 'equal colours, ordinary, read as: mean',
      reach: '≤ 0.12',
      got: `${n(mean(equalRead))} (${equalRead.length})`,
      baseline: n(mean(equalBase)),
      told: n(mean(equalTold)),
      reached: mean(equalRead) <= 0.12,
    },
    {
      name: 'highlight on the dab: read wrong by more than 0.9',
      reach: 'none',
      got: `${percent(litWrong.length, lit.length)}, ${lit.filter(({ answer }) => !answer).length} refused`,
      baseline: percent(litBase.length, lit.length),
      camera: `${litCamera.length} of them`,
      reached: lit.length > 0 && litWrong.length === 0,
    },
    {
      name: 'ordinary scenes refused',
      reach: '≤ 5 %',
      got: percent(refusedOrdinary.length, ordinary.length),
      baseline: '0 %',
      reached: share(refusedOrdinary.length, ordinary.length) <= 0.05,
    },
    {
      name: '95 % intervals cover',
      reach: '93–97 %',
      got: percent(inside, answered.length),
      baseline: 'none given',
      reached: coverage >= 0.93 && coverage <= 0.97,
    },
    {
      name: '… median half-width',
      reach: '≤ 0.50',
      got: n(quantile(widths, 0.5)),
      baseline: 'none given',
      // No picture tells of which pigments a dab is: to hold nine in ten of those of other pigments,
      // an interval needs this for what the camera alone misreads.
      camera: `${n(quantile(otherCameraOff, 0.9))} to cover others`,
      reached: quantile(widths, 0.5) <= 0.5,
    },
    {
      name: 'wrong `blends` or wrong `shows`, of those issued',
      reach: '≤ 5 %',
      got: percent(wrong.length, issued.length),
      baseline: 'none given',
      reached: share(wrong.length, issued.length) <= 0.05,
    },
    {
      name: '`unsure` when |ΔE₀₀ − T| > 0.7',
      reach: '≤ 25 %',
      got: percent(unsure.length, clear.length),
      baseline: 'none given',
      reached: share(unsure.length, clear.length) <= 0.25,
    },
    faultLine('tile-clipped', ['tile-clipped']),
    faultLine('tile-dark', ['tile-dark']),
    faultLine('tile-missing', ['tile-missing']),
    // Where so much light clips the tile too, that is said first; the remedy is the same.
    faultLine('dab-clipped', ['dab-clipped', 'glaze-clipped', 'tile-clipped']),
  ];
}

export const quietWhileMoving = ({ moving }: FilmOutcome): boolean =>
  moving.said && moving.numbers === 0;
export const quietAfterLamp = ({ lamp }: FilmOutcome): boolean => lamp.said && lamp.numbers === 0;

/** What only a live feed can show. */
export function filmFigures(films: readonly FilmOutcome[]): readonly Figure[] {
  const always = (name: string, right: number): Figure => ({
    name,
    reach: 'always',
    got: percent(right, films.length),
    baseline: 'never',
    reached: films.length > 0 && right === films.length,
  });
  const both = films.flatMap(({ single, settled, trueDeltaE00 }) =>
    single === undefined || settled === undefined
      ? []
      : [[Math.abs(single - trueDeltaE00), Math.abs(settled - trueDeltaE00)] as const],
  );
  return [
    always('moving camera: refused with the remedy', films.filter(quietWhileMoving).length),
    always('lamp changed in mid-reading: refused', films.filter(quietAfterLamp).length),
    {
      name: 'live feed, mean |read − true|: settled (first number)',
      reach: 'for the record',
      got: `${n(mean(both.map(([, settled]) => settled)))} (${n(mean(both.map(([first]) => first)))})`,
      baseline: '',
      reached: undefined,
    },
  ];
}

/** The design's lines on nudging. */
export function nudgeFigures(overall: NudgeFigures): readonly Figure[] {
  const line = (name: string, reach: string, got: string, reached: boolean): Figure => ({
    name,
    reach,
    got,
    baseline: '',
    reached,
  });
  const whole = (share: number) => `${(100 * share).toFixed(1)} %`;
  return [
    line(
      'nudges from ΔE₀₀ 5–15 to below 1, hand-sized doses, 15 % error: median',
      '≤ 2',
      String(overall.median),
      overall.median <= 2,
    ),
    line('… within 4', '≥ 90 %', whole(overall.within4), overall.within4 >= 0.9),
    line('… within 25', '≥ 97 %', whole(overall.within25), overall.within25 >= 0.97),
    line(
      'pot growth over those nudges, median',
      '≤ 1.8 ×',
      `${n(overall.growth)} ×`,
      overall.growth <= 1.8,
    ),
  ];
}

export interface StratumLine {
  readonly stratum: string;
  readonly value: string;
  readonly scenes: number;
  readonly refused: number;
  readonly answered: number;
  /** Share of the answered whose interval covers. */
  readonly coverage: number;
  readonly meanError: number;
  readonly p95Error: number;
  readonly medianHalfWidth: number;
}

/** Coverage and errors in every stratum; the floor is 90 %. */
export function strata(all: readonly SceneOutcome[]): readonly StratumLine[] {
  const general = all.filter(({ kind }) => kind !== 'fault');
  const names = Object.keys(general[0]?.strata ?? {}).filter((name) => name !== 'camera');
  return names.flatMap((stratum) => {
    const values = [...new Set(general.map((outcome) => outcome.strata[stratum] ?? ''))].sort();
    return values.map((value) => {
      const scenes = general.filter((outcome) => outcome.strata[stratum] === value);
      const answered = scenes.filter(({ answer }) => answer);
      const errors = answered.flatMap(({ answer }) => (answer ? [answer.error] : []));
      return {
        stratum,
        value,
        scenes: scenes.length,
        refused: scenes.length - answered.length,
        answered: answered.length,
        coverage: share(answered.filter(covered).length, answered.length),
        meanError: mean(errors),
        p95Error: quantile(errors, 0.95),
        medianHalfWidth: quantile(
          answered.flatMap(({ answer }) =>
            answer ? [(answer.interval95[1] - answer.interval95[0]) / 2] : [],
          ),
          0.5,
        ),
      };
    });
  });
}

/** 90 % asked of a stratum; of few scenes, no less than chance would let fall short. */
export const STRATUM_FLOOR = 0.9;
