/** The closed loop over many sessions: the tool, the baselines beside it, by family and by variant. */
import { POLICIES, type PolicyName } from './nudge-baselines.ts';
import {
  byFamily,
  figuresOf,
  HEADINGS,
  percent,
  rowOf,
  type NudgeFigures,
} from './nudges-figures.ts';
import { CONDITIONS, FAMILIES, type Conditions } from './nudges-scene.ts';
import { inFull, session, type Session } from './nudges-session.ts';
import { VARIANTS } from './nudges-variants.ts';

export type { NudgeFigures } from './nudges-figures.ts';

export interface NudgeEvaluation {
  readonly overall: NudgeFigures;
  readonly byFamily: ReadonlyMap<string, NudgeFigures>;
  readonly baselines: ReadonlyMap<PolicyName, NudgeFigures>;
  readonly sessions: readonly Session[];
  /** The tables, and sessions in full if asked for, ready to print. */
  readonly text: string;
}

const run = (count: number, seed: number, conditions: Conditions, policy?: PolicyName) =>
  Array.from({ length: count }, (_, index) => session(seed + index, policy, conditions));

/** Runs `sessions` (≥ 200 for figures to be quoted) from `seed`, and a quarter of them per baseline. */
export function evaluateNudges({
  sessions: count,
  seed,
  conditions = CONDITIONS,
  showInFull = 0,
}: {
  readonly sessions: number;
  readonly seed: number;
  readonly conditions?: Conditions;
  readonly showInFull?: number;
}): NudgeEvaluation {
  const sessions = run(count, seed, conditions);
  const overall = figuresOf(sessions);
  const families = byFamily(sessions, Object.keys(FAMILIES));
  const baselines = new Map(
    (Object.keys(POLICIES) as PolicyName[])
      .filter((policy) => policy !== 'the tool')
      .map(
        (policy) =>
          [policy, figuresOf(run(Math.ceil(count / 4), seed, conditions, policy))] as const,
      ),
  );
  const rows = [
    ['the tool, all', overall] as const,
    ...[...families].map(([family, figures]) => [`  ${family}`, figures] as const),
    ...baselines,
  ];
  const text = [
    HEADINGS,
    ...rows.map(([name, figures]) => rowOf(name, figures)),
    ...sessions.slice(0, showInFull).map(inFull),
  ].join('\n');
  return { overall, byFamily: families, baselines, sessions, text };
}

/** One line a variant whose name holds `only`, with the families below 90 % within four. */
export function* evaluateVariants(sessions: number, seed: number, only = ''): Generator<string> {
  yield HEADINGS;
  for (const [name, changed] of Object.entries(VARIANTS)) {
    if (!name.includes(only)) continue;
    const all = run(sessions, seed, { ...CONDITIONS, ...changed });
    const weak = [...byFamily(all, Object.keys(FAMILIES))]
      .filter(([, { within4 }]) => within4 < 0.9)
      .map(([family, { within4 }]) => `${family}${percent(within4)}`);
    yield `${rowOf(name, figuresOf(all))}  ${weak.join(', ')}`;
  }
}

// Run by itself: npx tsx tests/evaluate/nudges.ts [SESSIONS] [SEED] [variants [NAME]]
if (process.argv[1]?.endsWith('evaluate/nudges.ts')) {
  const [sessions = '220', seed = '1', what, only] = process.argv.slice(2);
  if (what === 'variants') {
    for (const line of evaluateVariants(Number(sessions), Number(seed), only)) console.log(line);
  } else {
    const result = evaluateNudges({
      sessions: Number(sessions),
      seed: Number(seed),
      showInFull: 3,
    });
    console.log(result.text);
  }
}
