/** The reading part of the evaluation: renders scenes, reads them, compares with the truth. */
import { fork } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import type { Part } from '../../calibration-samples/render/lamps.ts';
import { readingFigures, strata, type Figure, type StratumLine } from './figures.ts';
import type { SceneOutcome } from './one-scene.ts';
import { figureTable, outcomeLine, strataTable } from './print.ts';
import { seedsOf } from './plan.ts';
import type { SceneReply, SceneTask } from './scene-process.ts';

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
  readonly figures: readonly Figure[];
  readonly strata: readonly StratumLine[];
  /** Every figure reached and no stratum of ten or more answered scenes below its floor. */
  readonly reached: boolean;
}

export async function evaluateReadings(request: ReadingsRequest): Promise<ReadingsReport> {
  const seeds = seedsOf(request.scenes, request.seed);
  const all = await outcomesOf(seeds, request);
  const outcomes = request.only
    ? all.filter(
        (o) => o.fault === request.only || Object.values(o.strata).includes(request.only ?? ''),
      )
    : all;
  const figures = readingFigures(outcomes);
  const lines = strata(outcomes);
  const low = lines.filter((line) => line.answered >= 10 && line.coverage < 0.9);
  if (!request.quiet) print(request, outcomes, figures, lines);
  return {
    outcomes,
    figures,
    strata: lines,
    reached: figures.every((figure) => figure.reached !== false) && low.length === 0,
  };
}

function print(
  request: ReadingsRequest,
  outcomes: readonly SceneOutcome[],
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

/** Spreads seeds over child processes; outcomes come back in the order of the seeds. */
function outcomesOf(
  seeds: readonly number[],
  { part, processes }: ReadingsRequest,
): Promise<readonly SceneOutcome[]> {
  const count = Math.min(processes ?? availableParallelism(), seeds.length);
  const outcomes = new Map<number, SceneOutcome>();
  const errors: string[] = [];
  let next = 0;
  return new Promise((resolve, reject) => {
    const children = Array.from({ length: count }, () => {
      const child = fork(fileURLToPath(new URL('./scene-process.ts', import.meta.url)), {
        execArgv: ['--import', 'tsx'],
        serialization: 'advanced',
      });
      const give = () => {
        const seed = seeds[next++];
        if (seed !== undefined) child.send({ seed, part } satisfies SceneTask);
      };
      const end = (failure?: Error) => {
        children.forEach((each) => each.connected && each.disconnect());
        if (failure) reject(failure);
        else resolve(seeds.map((seed) => outcomes.get(seed)!));
      };
      child.on('error', end);
      child.on('exit', (code) => {
        if (code !== 0) end(new Error(`a scene process ended with ${code ?? 'a signal'}`));
      });
      child.on('message', (reply: SceneReply) => {
        if ('outcome' in reply) outcomes.set(reply.outcome.seed, reply.outcome);
        else errors.push(`seed ${reply.seed}: ${reply.error}`);
        const done = outcomes.size + errors.length;
        if (process.stderr.isTTY) process.stderr.write(`\r${done}/${seeds.length} `);
        if (done < seeds.length) give();
        else end(errors.length > 0 ? new Error(errors.join('\n')) : undefined);
      });
      give();
      return child;
    });
  });
}
