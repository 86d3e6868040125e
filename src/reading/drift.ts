/**
 * The light of a session held against its beginning: a step (a lamp switched, a cloud, a camera that
 * exposes anew) or a slow drift (a lamp that warms up, the day that goes). A reading has its own tile in
 * the shot and stands by itself; what changes across a session is how far readings may be held against
 * each other.
 */

/** ln of the tile's light, of its red to green and of its blue to green, at a moment. */
export interface LightAt {
  /** ms, any clock that only goes forward. */
  readonly ms: number;
  readonly light: readonly [number, number, number];
}

export interface Drift {
  readonly kind: 'steady' | 'drift' | 'step';
  /** Light now over light at the beginning, as a share above or below 0: −0.12 is 12 % less. */
  readonly light: number;
  /** Change of ln R/G and of ln B/G. */
  readonly red: number;
  readonly blue: number;
  /** When it began to differ, ms; absent while steady. */
  readonly since?: number;
}

export const STEADY: Drift = { kind: 'steady', light: 0, red: 0, blue: 0 };

/** A tenth of the light, or colour by 2 %, about half a ΔE*ab on the tile, is worth a word. */
export const TELLING = { light: 0.1, colour: 0.02 } as const;
/** A change that is over within this time is a step, ms. */
const STEP_MS = 20_000;
/** Light is taken as the mean of so long, so that neither noise nor a passing hand counts. */
const SPAN_MS = 4_000;
const FEWEST = 3;
/** Spans that are remembered: at four seconds each, more than a day's work. */
const MOST = 10_000;

/** Watches the tile's light over a session. Feed it with the settled light only. */
export class DriftWatch {
  readonly #spans: LightAt[] = [];
  #now: LightAt[] = [];

  /** Begins anew: another lamp was chosen, another tile laid down. */
  restart(): void {
    this.#spans.length = 0;
    this.#now = [];
  }

  add(at: LightAt): Drift {
    if (!at.light.every(Number.isFinite)) return this.drift;
    if (this.#now.length > 0 && at.ms - this.#now[0]!.ms >= SPAN_MS) {
      if (this.#now.length >= FEWEST && this.#spans.length < MOST) {
        this.#spans.push(meanOf(this.#now));
      }
      this.#now = [];
    }
    this.#now.push(at);
    return this.drift;
  }

  get drift(): Drift {
    const [first] = this.#spans;
    const last = this.#spans.at(-1);
    if (!first || !last) return STEADY;
    const change = changeFrom(first, last);
    if (!isTelling(change)) return { kind: 'steady', ...change };
    const begin = this.#spans.findLastIndex((span) => !isTelling(changeFrom(first, span)));
    // Half of the change had come by here; a step comes whole between two spans or three.
    const whole = sizeOf(change);
    const from = this.#spans.findLast((span) => sizeOf(changeFrom(first, span)) < 0.15 * whole);
    const to = this.#spans.find(
      (span) => span.ms > (from ?? first).ms && sizeOf(changeFrom(first, span)) > 0.85 * whole,
    );
    const lasted = (to ?? last).ms - (from ?? first).ms;
    return {
      kind: lasted <= STEP_MS ? 'step' : 'drift',
      ...change,
      since: this.#spans[begin + 1]!.ms,
    };
  }
}

/** "The light has fallen by 12 % and turned redder since the session began." Empty while steady. */
export function driftInWords({ kind, light, red, blue }: Omit<Drift, 'since'>): string {
  if (kind === 'steady') return '';
  const parts: string[] = [];
  if (Math.abs(light) >= TELLING.light) {
    parts.push(
      `${light > 0 ? 'risen' : 'fallen'} by ${String(Math.round(100 * Math.abs(light)))} %`,
    );
  }
  if (Math.max(Math.abs(red), Math.abs(blue)) >= TELLING.colour) {
    parts.push(`turned ${turn(red, blue)}`);
  }
  const how = kind === 'step' ? 'at one stroke' : 'little by little';
  return `The light on the tile has ${parts.join(' and ')} ${how} since the session began.`;
}

function turn(red: number, blue: number): string {
  if (red - blue >= TELLING.colour) return 'warmer';
  if (blue - red >= TELLING.colour) return 'cooler';
  return red + blue > 0 ? 'pinker' : 'greener';
}

type Change = Pick<Drift, 'light' | 'red' | 'blue'>;

function changeFrom(first: LightAt, now: LightAt): Change {
  return {
    light: Math.expm1(now.light[0] - first.light[0]),
    red: now.light[1] - first.light[1],
    blue: now.light[2] - first.light[2],
  };
}

/** 1 where it begins to be telling. */
function sizeOf({ light, red, blue }: Change): number {
  return Math.max(
    Math.abs(light) / TELLING.light,
    Math.abs(red) / TELLING.colour,
    Math.abs(blue) / TELLING.colour,
  );
}
const isTelling = (change: Change) => sizeOf(change) >= 1;

function meanOf(span: readonly LightAt[]): LightAt {
  const mean = (k: 0 | 1 | 2) => span.reduce((sum, { light }) => sum + light[k], 0) / span.length;
  return { ms: span[0]!.ms, light: [mean(0), mean(1), mean(2)] };
}
