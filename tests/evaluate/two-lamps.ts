/** `npm run evaluate -- --lamps`: how well two readings tell a pair that changes from one that holds. */
import type { Part } from '../../calibration-samples/render/lamps.ts';
import {
  acrossLamps,
  alertness,
  FLAG_FROM,
  type AcrossLamps,
} from '../../src/reading/across-lamps.ts';
import { table } from './print.ts';
import { twoLampScene, type TwoLampScene } from './two-lamps-scene.ts';

export interface TwoLampFigures {
  readonly pairs: number;
  /** Pairs whose true index lies above 2, and the share of them that is flagged. */
  readonly large: number;
  readonly largeFlagged: number;
  /** The same for pairs whose true index lies below 1. */
  readonly small: number;
  readonly smallFlagged: number;
  /** Of those said to change without a doubt, how many truly change by more than 1. */
  readonly sure: number;
  readonly sureRight: number;
  /** Share of pairs whose true index lies in the interval, its median half-width, and the error. */
  readonly covered: number;
  readonly halfWidth: number;
  readonly medianError: number;
}

export interface TwoLampOutcome {
  readonly scene: TwoLampScene;
  readonly answer: AcrossLamps;
}

export function twoLampOutcomes(
  pairs: number,
  part: Part,
  seed: number,
  profiled: boolean,
): TwoLampOutcome[] {
  return Array.from({ length: pairs }, (_, i) => {
    const scene = twoLampScene(seed + i, part, profiled);
    return { scene, answer: acrossLamps(...scene.readings) };
  });
}

export function twoLampFigures(outcomes: readonly TwoLampOutcome[]): TwoLampFigures {
  const share = (of: readonly TwoLampOutcome[], is: (one: TwoLampOutcome) => boolean) =>
    of.filter(is).length / Math.max(1, of.length);
  const flagged = ({ answer }: TwoLampOutcome) => answer.flag !== 'holds';
  const large = outcomes.filter(({ scene }) => scene.trueIndex > 2);
  const small = outcomes.filter(({ scene }) => scene.trueIndex < 1);
  const sure = outcomes.filter(({ answer }) => answer.flag === 'changes');
  const median = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1] ?? 0;
  return {
    pairs: outcomes.length,
    large: large.length,
    largeFlagged: share(large, flagged),
    small: small.length,
    smallFlagged: share(small, flagged),
    sure: sure.length,
    sureRight: share(sure, ({ scene }) => scene.trueIndex > 1),
    covered: share(
      outcomes,
      ({ scene: { trueIndex }, answer: { interval95 } }) =>
        trueIndex >= interval95[0] && trueIndex <= interval95[1],
    ),
    halfWidth: median(
      outcomes.map(
        ({
          answer: {
            interval95: [low, high],
          },
        }) => (high - low) / 2,
      ),
    ),
    medianError: median(
      outcomes.map(({ scene, answer }) => Math.abs(answer.index - scene.trueIndex)),
    ),
  };
}

/** The figures as a table; reached when the camera's profile is known, as the design asks. */
export function evaluateTwoLamps(
  pairs: number,
  part: Part,
  seed: number,
): { readonly text: string; readonly reached: boolean } {
  const measured = [true, false].map((profiled) => {
    const outcomes = twoLampOutcomes(pairs, part, seed, profiled);
    return { profiled, outcomes, figures: twoLampFigures(outcomes) };
  });
  const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
  const text = table([
    ['', 'reach', ...measured.map(({ profiled }) => (profiled ? 'with a profile' : 'without'))],
    ...(
      [
        [
          'true change above 2: flagged',
          '≥ 95 %',
          (f) => `${percent(f.largeFlagged)} of ${f.large}`,
        ],
        [
          'true change below 1: flagged',
          '≤ 20 %',
          (f) => `${percent(f.smallFlagged)} of ${f.small}`,
        ],
        ['said to change: above 1', '≥ 95 %', (f) => `${percent(f.sureRight)} of ${f.sure}`],
        ['interval covers', '≥ 90 %', (f) => percent(f.covered)],
        ['half-width, median', '', (f) => f.halfWidth.toFixed(2)],
        ['error of the index, median', '', (f) => f.medianError.toFixed(2)],
      ] as readonly (readonly [string, string, (f: TwoLampFigures) => string])[]
    ).map(([name, reach, of]) => [name, reach, ...measured.map(({ figures }) => of(figures))]),
  ]);
  const { largeFlagged, smallFlagged } = measured[0]!.figures;
  const operating = table([
    ['flagged from', 'above 2', 'below 1', '(with a profile)'],
    ...[0.8, 0.9, 1, 1.1, 1.25, 1.4, 1.6, 1.8].map((from) => [
      `${from.toFixed(2)}${from === FLAG_FROM ? ' taken' : ''}`,
      ...flaggedFrom(from, measured[0]!.outcomes).map(percent),
      '',
    ]),
  ]);
  return { text: `${text}\n\n${operating}`, reached: largeFlagged >= 0.95 && smallFlagged <= 0.2 };
}

/** Shares that would be flagged from another value on, of true changes above 2 and below 1. */
function flaggedFrom(from: number, outcomes: readonly TwoLampOutcome[]): [number, number] {
  const share = (of: readonly TwoLampOutcome[]) =>
    of.filter(({ scene, answer }) => answer.index * alertness(scene.readings[1].glazeLab) >= from)
      .length / Math.max(1, of.length);
  return [
    share(outcomes.filter(({ scene }) => scene.trueIndex > 2)),
    share(outcomes.filter(({ scene }) => scene.trueIndex < 1)),
  ];
}
