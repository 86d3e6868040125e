/**
 * The closed loop: a restorer who doses by hand with 15 % error, reads dabs with σ 0.25 on each axis,
 * and gives what is suggested first until the reading says it blends. The paint is `paint-truth.ts`,
 * which the solver does not know. Stopping is judged on the reading, success on the truth.
 */
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import type { NudgeRequest, PalettePigment } from '../../src/paint/types.ts';
import { POLICIES, type PolicyName } from './nudge-baselines.ts';
import { paintBox, randomFrom, type PaintBox, type Random } from './paint-truth.ts';

export interface Conditions {
  /** Standard deviation of a dose, as a share of it, and of each amount of the first pot. */
  readonly doseError: number;
  readonly firstDoseError: number;
  /** Standard deviations on each axis of Lab: of a dab's reading, and of the palette's. */
  readonly readingSigma: number;
  readonly paletteSigma: number;
  /** The restorer stops when the dab reads this near, ΔE₀₀, or after so many nudges. */
  readonly stopAt: number;
  readonly mostNudges: number;
  readonly smallest: number;
  readonly largestGrowth: number;
  /** Scale of the departure from Kubelka–Munk; 1 is slight. */
  readonly departure: number;
  /** Parts of white to one of pigment in the tints. */
  readonly tintParts: number;
}
export const CONDITIONS: Conditions = {
  doseError: 0.15,
  firstDoseError: 0.15,
  readingSigma: 0.25,
  paletteSigma: 0.4,
  stopAt: 0.8,
  mostNudges: 25,
  smallest: 0.002,
  largestGrowth: 0.8,
  departure: 1,
  tintParts: 9,
};

/** Recipes of the families of targets, parts by mass. */
const FAMILIES: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  'pale porcelain': { white: 100, ultramarine: 0.5, ochre: 1, black: 0.08 },
  'grey porcelain': { white: 100, cobalt: 3, umber: 0.5, black: 0.3 },
  celadon: { white: 100, viridian: 12, ochre: 8, umber: 2 },
  'deep cobalt': { white: 15, cobalt: 60, ultramarine: 25, black: 0.4 },
  'strong blue': { white: 100, phthalo: 5, ultramarine: 10, carbon: 0.3 },
  'iron red': { white: 10, ironred: 80, cadred: 15, umber: 8 },
  brown: { white: 40, umber: 60, ironred: 15, ochre: 30 },
  yellow: { white: 50, cadmium: 30, ironyellow: 15, ironred: 0.5 },
  turquoise: { white: 100, phthalo: 1.5, cobaltgreen: 30, hansa: 3 },
  rose: { white: 100, quinacridone: 2, cadred: 4, ochre: 2 },
  'odd paints': { white: 60, 'odd 1': 6, 'odd 2': 6, 'odd 3': 3 },
};
/** What else may lie on the bench. */
const OTHERS = [
  'black',
  'ultramarine',
  'ochre',
  'ironred',
  'chrome',
  'hansa',
  'cadmium',
  'umber',
  'quinacridone',
  'cobalt',
  'sienna',
  'odd 4',
];

export interface Step {
  readonly read: number;
  readonly truth: number;
  readonly potGrams: number;
  /** What was asked for after this reading; absent at the end. */
  additions?: Readonly<Record<string, number>>;
}

export interface Session {
  readonly family: string;
  readonly steps: readonly Step[];
  readonly ended: 'reads as blending' | 'nothing more suggested' | 'given up';
  /** True ΔE₀₀ below 1 at the end. */
  readonly success: boolean;
  readonly nudges: number;
  readonly growth: number;
  /** How many true differences after a nudge lay inside the 95 % interval promised, of how many. */
  readonly covered: number;
  readonly promised: number;
}

export function session(
  seed: number,
  policy: PolicyName = 'the tool',
  conditions: Conditions = CONDITIONS,
): Session {
  const random = randomFrom(seed);
  const { family, box, glazeLab, pot, real } = scene(random, conditions);
  const palette = readPalette(box, conditions, random);
  const history: NudgeRequest['history'][number][] = [];
  const steps: Step[] = [];
  const firstGrams = massOf(pot);
  let interval: readonly [number, number] | undefined;
  let covered = 0;
  let promised = 0;
  let ended: Session['ended'] = 'given up';
  for (;;) {
    const trueLab = box.labOf(real);
    const dabLab = noisy(trueLab, conditions.readingSigma, random);
    const truth = deltaE00(glazeLab, trueLab);
    const step: Step = { read: deltaE00(glazeLab, dabLab), truth, potGrams: massOf(pot) };
    steps.push(step);
    if (interval) {
      promised++;
      if (truth >= interval[0] && truth <= interval[1]) covered++;
    }
    if (step.read <= conditions.stopAt) ended = 'reads as blending';
    if (step.read <= conditions.stopAt || steps.length > conditions.mostNudges) break;
    const choice = POLICIES[policy](
      {
        palette,
        pot: { ...pot },
        glazeLab,
        dabLab,
        history: [...history],
        smallest: conditions.smallest,
        largestGrowth: conditions.largestGrowth,
      },
      random,
    );
    if (!choice) {
      ended = 'nothing more suggested';
      break;
    }
    history.push({ pot: { ...pot }, dabLab });
    step.additions = choice.additions;
    interval = choice.interval95;
    for (const [id, grams] of Object.entries(choice.additions)) {
      pot[id] = (pot[id] ?? 0) + grams;
      real[id] = (real[id] ?? 0) + grams * handed(conditions.doseError, random);
    }
  }
  const last = steps[steps.length - 1]!;
  const nudges = steps.length - 1;
  const growth = last.potGrams / firstGrams;
  return { family, steps, ended, success: last.truth < 1, nudges, growth, covered, promised };
}

/** A target, and a pot of about 5 g that is 5 to 15 ΔE₀₀ away from it. */
function scene(random: Random, conditions: Conditions) {
  const { normal, uniform } = random;
  const names = Object.keys(FAMILIES);
  const family = names[Math.floor(uniform() * names.length)]!;
  const parts = Object.entries(FAMILIES[family]!);
  const ids = new Set([...parts.map(([id]) => id), ...OTHERS.filter(() => uniform() < 0.4)]);
  // Evenly over 5 to 15: left alone, small differences would be drawn most often. The start strays
  // further from the target the longer such a pot is not found.
  const wanted = 5 + 10 * uniform();
  for (let spread = 0.4; ; spread *= 1.01) {
    const box = paintBox([...ids], random, conditions.departure);
    const target = parts.map(([id, part]) => [id, part * Math.exp(0.4 * normal())] as const);
    const glazeLab = box.labOf(Object.fromEntries(target));
    const start = target.map(([id, part], index) => {
      const forgotten = index > 1 && uniform() < 0.3;
      return [id, forgotten ? 0 : part * Math.exp(spread * normal())] as const;
    });
    const total = start.reduce((sum, [, part]) => sum + part, 0);
    const pot: Record<string, number> = {};
    const real: Record<string, number> = {};
    for (const [id, part] of start) {
      const grams = Number(((5 * part) / total).toFixed(3));
      if (grams < conditions.smallest) continue;
      pot[id] = grams;
      real[id] = grams * handed(conditions.firstDoseError, random);
    }
    const away = deltaE00(glazeLab, box.labOf(real));
    if (Math.abs(away - wanted) < 0.5) return { family, box, glazeLab, pot, real };
  }
}

function readPalette(
  box: PaintBox,
  { paletteSigma, tintParts }: Conditions,
  random: Random,
): PalettePigment[] {
  return box.pigments.map(({ id, colourIndex }) => {
    const masstone = noisy(box.labOf({ [id]: 1 }), paletteSigma, random);
    if (id === 'white') return { id, colourIndex, isWhite: true, masstone };
    const lab = noisy(box.labOf({ [id]: 1, white: tintParts }), paletteSigma, random);
    return { id, colourIndex, masstone, tint: { lab, pigment: 1, white: tintParts } };
  });
}

const handed = (error: number, { normal }: Random) => Math.max(0.2, 1 + error * normal());
const noisy = ([L, a, b]: LabD65, sigma: number, { normal }: Random) =>
  labD65(L + sigma * normal(), a + sigma * normal(), b + sigma * normal());
const massOf = (pot: Readonly<Record<string, number>>) =>
  Object.values(pot).reduce((sum, grams) => sum + grams, 0);

/** Figures over a set of sessions; shares in 0–1. */
export interface NudgeFigures {
  readonly sessions: number;
  /** Median nudges to success; Infinity when fewer than half succeed. */
  readonly median: number;
  readonly within2: number;
  readonly within4: number;
  readonly within25: number;
  readonly growth: number;
  /** Median true ΔE₀₀ at the start, after one nudge, at the end. */
  readonly start: number;
  readonly afterOne: number;
  readonly end: number;
  /** Share of true differences inside the promised intervals; NaN when none was promised. */
  readonly coverage: number;
}

export function figuresOf(sessions: readonly Session[]): NudgeFigures {
  const nudges = sessions.map(({ success, nudges: n }) => (success ? n : Infinity));
  const within = (n: number) => nudges.filter((value) => value <= n).length / sessions.length;
  const promised = sessions.reduce((sum, one) => sum + one.promised, 0);
  return {
    sessions: sessions.length,
    median: median(nudges),
    within2: within(2),
    within4: within(4),
    within25: within(25),
    growth: median(sessions.map(({ growth }) => growth)),
    start: median(sessions.map(({ steps }) => steps[0]!.truth)),
    afterOne: median(sessions.map(({ steps }) => (steps[1] ?? steps[0]!).truth)),
    end: median(sessions.map(({ steps }) => steps.at(-1)!.truth)),
    coverage: sessions.reduce((sum, one) => sum + one.covered, 0) / promised,
  };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor((sorted.length - 1) / 2)]!;
}

export interface NudgeEvaluation {
  readonly overall: NudgeFigures;
  readonly byFamily: ReadonlyMap<string, NudgeFigures>;
  readonly baselines: ReadonlyMap<PolicyName, NudgeFigures>;
  readonly sessions: readonly Session[];
  /** The tables, and sessions in full if asked for, ready to print. */
  readonly text: string;
}

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
  const run = (policy: PolicyName, n: number) =>
    Array.from({ length: n }, (_, index) => session(seed + index, policy, conditions));
  const sessions = run('the tool', count);
  const overall = figuresOf(sessions);
  const byFamily = new Map(
    Object.keys(FAMILIES).flatMap((family) => {
      const own = sessions.filter((one) => one.family === family);
      return own.length > 0 ? [[family, figuresOf(own)] as const] : [];
    }),
  );
  const baselines = new Map(
    (Object.keys(POLICIES) as PolicyName[])
      .filter((policy) => policy !== 'the tool')
      .map((policy) => [policy, figuresOf(run(policy, Math.ceil(count / 4)))] as const),
  );
  const rows = [
    ['the tool, all', overall] as const,
    ...[...byFamily].map(([family, figures]) => [`  ${family}`, figures] as const),
    ...baselines,
  ];
  const text = [
    HEADINGS,
    ...rows.map(([name, figures]) => rowOf(name, figures)),
    ...sessions.slice(0, showInFull).map(inFull),
  ].join('\n');
  return { overall, byFamily, baselines, sessions, text };
}

const NAME_WIDTH = 18;
const HEADINGS = `${''.padEnd(NAME_WIDTH)}sessions  median  ≤2    ≤4    ≤25   growth  start  after 1  end   cover`;

function rowOf(name: string, figures: NudgeFigures): string {
  const share = (value: number) =>
    Number.isNaN(value) ? '  –' : `${(100 * value).toFixed(0)} %`.padStart(5);
  return [
    name.padEnd(NAME_WIDTH),
    String(figures.sessions).padStart(8),
    (Number.isFinite(figures.median) ? String(figures.median) : 'never').padStart(7),
    share(figures.within2),
    share(figures.within4),
    share(figures.within25),
    `${figures.growth.toFixed(2)} ×`.padStart(7),
    figures.start.toFixed(1).padStart(6),
    figures.afterOne.toFixed(2).padStart(7),
    figures.end.toFixed(2).padStart(6),
    share(figures.coverage),
  ].join(' ');
}

function inFull({ family, steps, ended }: Session): string {
  const lines = steps.map(({ read, truth, potGrams, additions }) => {
    const added = Object.entries(additions ?? {})
      .map(([id, grams]) => `${id} ${Number(grams.toPrecision(3))} g`)
      .join(', ');
    return `  pot ${potGrams.toFixed(2)} g  reads ${read.toFixed(2)}  (truth ${truth.toFixed(2)})  ${added && `+ ${added}`}`;
  });
  return [`\n${family}: ${ended}`, ...lines].join('\n');
}

// Run by itself: npx tsx tests/evaluate/nudges.ts [SESSIONS] [SEED]
if (process.argv[1]?.endsWith('evaluate/nudges.ts')) {
  const [sessions = '220', seed = '1'] = process.argv.slice(2);
  const result = evaluateNudges({ sessions: Number(sessions), seed: Number(seed), showInFull: 3 });
  console.log(result.text);
}
