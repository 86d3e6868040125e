/** The reading part of the evaluation: renders scenes, reads them, compares with the truth. */
import type { Part } from '../../calibration-samples/render/lamps.ts';
import type { FilmOutcome } from './film.ts';
import {
  filmFigures,
  quietAfterLamp,
  quietWhileMoving,
  readingFigures,
  strata,
  type Figure,
  type StratumLine,
} from './figures.ts';
import type { SceneOutcome } from './one-scene.ts';
import { figureTable, outcomeLine, strataTable } from './print.ts';
import { filmSeedsOf, seedsOf } from './plan.ts';
import { carriedOut } from './pool.ts';
import type { Task } from './scene-process.ts';

export interface ReadingsRequest {
  /** General scenes; some of every fault come on top. */
  readonly scenes: number;
  readonly part: Part;
  readonly seed: number;
  /** Only scenes of this kind of fault or stratum value count in what is printed. */
  readonly only?: string;
  readonly processes?: number;
  readonly quiet?: boolean;
}

export interface ReadingsReport {
  readonly outcomes: readonly SceneOutcome[];
  readonly films: readonly FilmOutcome[];
  readonly figures: readonly Figure[];
  readonly strata: readonly StratumLine[];
  /** Every figure reached and no stratum of ten or more answered scenes below its floor. */
  readonly reached: boolean;
}

export async function evaluateReadings(request: ReadingsRequest): Promise<ReadingsReport> {
  const { scenes, part, seed } = request;
  const tasks: readonly Task[] = [
    ...seedsOf(scenes, seed).map((s) => ({ kind: 'scene', seed: s, part }) as const),
    ...filmSeedsOf(scenes, seed).map((s) => ({ kind: 'film', seed: s, part }) as const),
  ];
  const done = await carriedOut(tasks, request.processes);
  const bySeed = (a: { readonly seed: number }, b: { readonly seed: number }) => a.seed - b.seed;
  const all = done.flatMap((o) => (o.kind === 'scene' ? [o.scene] : [])).sort(bySeed);
  const films = done.flatMap((o) => (o.kind === 'film' ? [o.film] : [])).sort(bySeed);
  const outcomes = request.only
    ? all.filter(
        (o) => o.fault === request.only || Object.values(o.strata).includes(request.only ?? ''),
      )
    : all;
  const figures = [...readingFigures(outcomes), ...filmFigures(films)];
  const lines = strata(outcomes);
  const low = lines.filter((line) => line.answered >= 10 && line.coverage < 0.9);
  if (!request.quiet) print(request, outcomes, films, figures, lines);
  return {
    outcomes,
    films,
    figures,
    strata: lines,
    reached: figures.every((figure) => figure.reached !== false) && low.length === 0,
  };
}

function print(
  request: ReadingsRequest,
  outcomes: readonly SceneOutcome[],
  films: readonly FilmOutcome[],
  figures: readonly Figure[],
  lines: readonly StratumLine[],
): void {
  console.log(
    `\nReadings, part "${request.part}", ${outcomes.length} scenes from seed ${request.seed}\n`,
  );
  console.log(figureTable(figures));
  console.log(`\n${strataTable(lines)}`);
  const answered = outcomes.filter(({ answer, kind }) => answer && kind !== 'fault');
  const worst = [...answered].sort((a, b) => (b.answer?.error ?? 0) - (a.answer?.error ?? 0));
  console.log('\nWorst ten:');
  worst.slice(0, 10).forEach((outcome) => console.log(outcomeLine(outcome)));
  const refused = outcomes.filter(({ answer, kind }) => !answer && kind === 'ordinary');
  if (refused.length > 0) {
    console.log('\nOrdinary scenes refused:');
    refused.slice(0, 20).forEach((outcome) => console.log(outcomeLine(outcome)));
  }
  const unrefused = outcomes.filter(({ kind, answer }) => kind === 'fault' && answer);
  if (unrefused.length > 0) {
    console.log('\nFaults not refused:');
    unrefused.slice(0, 20).forEach((o) => console.log(`${o.fault ?? ''}: ${outcomeLine(o)}`));
  }
  const unsaid = films.filter((film) => !quietWhileMoving(film) || !quietAfterLamp(film));
  unsaid.forEach((film) => console.log(`\nFilm not refused: ${JSON.stringify(film)}`));
  const tiles = outcomes.filter(({ tileFound, fault }) => tileFound === 'wrong' && !fault);
  console.log(
    `\nTile: ${outcomes.filter((o) => o.tileFound === 'right').length} found, ${tiles.length} found wrongly${
      tiles.length > 0
        ? ` (seeds ${tiles
            .map((o) => o.seed)
            .slice(0, 12)
            .join(', ')})`
        : ''
    }, ${outcomes.filter((o) => o.tileFound === 'none' && o.fault !== 'tile-missing').length} not found`,
  );
  const ms = outcomes.map((o) => o.readMs).sort((a, b) => a - b);
  console.log(`Reading time, median: ${(ms[Math.floor(ms.length / 2)] ?? 0).toFixed(0)} ms`);
}
