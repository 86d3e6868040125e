/** Figures over a set of nudging sessions, and their lines of a table. */
import type { Session } from './nudges-session.ts';

/** Shares in 0–1. */
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

/** Figures by family, in the order given; families without a session are left out. */
export function byFamily(
  sessions: readonly Session[],
  families: readonly string[],
): ReadonlyMap<string, NudgeFigures> {
  return new Map(
    families.flatMap((family) => {
      const own = sessions.filter((one) => one.family === family);
      return own.length > 0 ? [[family, figuresOf(own)] as const] : [];
    }),
  );
}

const NAME_WIDTH = 34;
export const HEADINGS = `${''.padEnd(NAME_WIDTH)}sessions  median  ≤2    ≤4    ≤25   growth  start  after 1  end   cover`;

export const percent = (value: number) =>
  Number.isNaN(value) ? '  –' : `${(100 * value).toFixed(0)} %`.padStart(5);

export function rowOf(name: string, figures: NudgeFigures): string {
  return [
    name.padEnd(NAME_WIDTH),
    String(figures.sessions).padStart(8),
    (Number.isFinite(figures.median) ? String(figures.median) : 'never').padStart(7),
    percent(figures.within2),
    percent(figures.within4),
    percent(figures.within25),
    `${figures.growth.toFixed(2)} ×`.padStart(7),
    figures.start.toFixed(1).padStart(6),
    figures.afterOne.toFixed(2).padStart(7),
    figures.end.toFixed(2).padStart(6),
    percent(figures.coverage),
  ].join(' ');
}
