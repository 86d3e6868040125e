/**
 * `npm run evaluate`: the design's figures, measured.
 *   --readings | --nudges   only that part (both)
 *   --lamps                 pairs read under two lamps: which change
 *   --profiles              what a camera profile from a chart is worth
 *   --variants              nudges on other benches, by other hands and callers (--only NAME)
 *   --scenes N              general scenes (400), and as many nudging sessions
 *   --part tune|judge       which cameras, lamps and pigments (judge)
 *   --seed N                first seed (1)
 *   --only VALUE            only scenes with this fault or stratum value
 *   --processes N           how many at once (as many as the machine has cores)
 *   --one SEED [--png FILE] one scene in detail
 */
import { parseArgs } from 'node:util';
import { nudgeFigures } from './figures.ts';
import { evaluateNudges, evaluateVariants } from './nudges.ts';
import { figureTable } from './print.ts';
import { evaluateReadings } from './readings.ts';
import { showOne } from './one-picture.ts';
import { evaluateProfiles } from './profiles.ts';
import { evaluateTones } from './tones.ts';
import { evaluateTwoLamps } from './two-lamps.ts';

const { values } = parseArgs({
  options: {
    readings: { type: 'boolean' },
    nudges: { type: 'boolean' },
    lamps: { type: 'boolean' },
    profiles: { type: 'boolean' },
    variants: { type: 'boolean' },
    scenes: { type: 'string', default: '400' },
    part: { type: 'string', default: 'judge' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string' },
    processes: { type: 'string' },
    one: { type: 'string' },
    png: { type: 'string' },
  },
});
const part = values.part;
if (part !== 'tune' && part !== 'judge') {
  console.error(`--part is "tune" or "judge", not "${part}"`);
  process.exit(2);
}
const number = (name: string, text: string): number => {
  const value = Number(text);
  if (Number.isInteger(value) && value >= 0) return value;
  console.error(`--${name} takes a whole number, not "${text}"`);
  process.exit(2);
};

if (values.one !== undefined) {
  await showOne(number('one', values.one), part, values.png);
} else if (values.lamps) {
  const pairs = Math.max(1, number('scenes', values.scenes));
  const { text, reached } = evaluateTwoLamps(pairs, part, number('seed', values.seed));
  console.log(`\nTwo lamps, ${pairs} pairs from seed ${values.seed}\n\n${text}`);
  process.exitCode = reached ? 0 : 1;
} else if (values.profiles) {
  const cameras = Math.max(1, number('scenes', values.scenes));
  const text = evaluateProfiles(cameras, part, number('seed', values.seed));
  console.log(`\nProfiles from a chart, ${cameras} scenes from seed ${values.seed}\n\n${text}`);
  const tones = evaluateTones(cameras, number('seed', values.seed));
  console.log(`\nTone response, ${cameras} cameras a style\n\n${tones}`);
} else if (values.variants) {
  const sessions = Math.max(1, number('scenes', values.scenes));
  for (const line of evaluateVariants(sessions, number('seed', values.seed), values.only)) {
    console.log(line);
  }
} else {
  const scenes = number('scenes', values.scenes);
  const seed = number('seed', values.seed);
  const both = !values.readings && !values.nudges;
  let reached = true;
  if (both || values.readings) {
    const report = await evaluateReadings({
      scenes,
      part,
      seed,
      ...(values.only === undefined ? {} : { only: values.only }),
      ...(values.processes === undefined
        ? {}
        : { processes: number('processes', values.processes) }),
    });
    reached &&= report.reached;
  }
  if (both || values.nudges) {
    const { overall, text } = evaluateNudges({ sessions: Math.max(1, scenes), seed });
    const figures = nudgeFigures(overall);
    console.log(`\nNudges, ${overall.sessions} sessions from seed ${seed}\n`);
    console.log(figureTable(figures));
    console.log(`\n${text}`);
    reached &&= figures.every((figure) => figure.reached !== false);
  }
  process.exitCode = reached ? 0 : 1;
}
