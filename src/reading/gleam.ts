/**
 * How much of the light on the glaze round the dab is the lamp mirrored, too broad and too soft to stand out.
 *
 * Shading makes a glaze lighter and leaves its colour; mirrored light makes it lighter and paler (Shafer
 * 1985, “Using color to separate reflection components”, Color Research & Application 10). So the slope of
 * the glaze's log ratios over its log light, from block to block, tells which share of the change is
 * mirrored. What varies round the dab lies on the glaze there too, and the dab, matter or glossier, mirrors
 * more or less of it; how much, no picture tells.
 */
import type { Block } from './field-terms.ts';
import { logTriple, relativeRgb, type LogTriple } from './log-window.ts';
import { exceededBy, quantile } from './robust.ts';

export interface Gleam {
  /**
   * What may be mirrored on the glaze at the dab's centre, ln of its light, by what varies round it. Taken
   * for a standard deviation: the wider a gleam, the more of it lies over all and does not vary.
   */
  readonly logLight: number;
  /** What mirrored light does to the glaze's log colour, per ln of light. */
  readonly along: LogTriple;
}

/** A ring block of glaze: its log colour, the field's log light there, and how much it counts. */
export interface LitBlock {
  readonly log: Block['log'];
  readonly light: number;
  readonly weight: number;
}

/**
 * Standard deviation of the share where nothing is mirrored: a tone curve bends ratios in proportion to
 * the glaze's saturation, and the room's light, of another colour than the lamp's, by so much per ln light.
 */
const BENT_BY_CAMERA = 0.15;
const TINTED_BY_ROOM = 0.12;
/** Errors of neighbouring blocks hang together: standard errors are twice what single ones make. */
const TOGETHER = 2;
/** How often, before the picture is seen, some of the ring is so lit. */
const SELDOM = 0.05;
const LEAST_BLOCKS = 12;
/** Light relative to the tile, small enough for a derivative. */
const A_LITTLE = 1e-4;

/**
 * @param glaze log colour of the glaze at the dab's centre
 * @param ring blocks of glaze round the dab
 */
export function gleamOnGlaze(glaze: LogTriple, ring: readonly LitBlock[]): Gleam {
  const along = towardsLamp(glaze);
  const seen = paleness(glaze, along, ring);
  return { logLight: seen ? seen.brighter * mostShare(seen) : 0, along };
}

/** How a glaze's colour goes with its light. */
export interface Paleness {
  /** Light at the dab's centre above the darkest of the glaze, ln; more than 0. */
  readonly brighter: number;
  /** Share of a change of light that is mirrored, as seen, and its standard deviation. */
  readonly share: number;
  readonly deviation: number;
}

/**
 * @param along what mirrored light does to the glaze's log colour, per ln of light
 * @returns undefined where too little glaze, none darker, or none of any colour tells
 */
export function paleness(
  glaze: LogTriple,
  along: LogTriple,
  blocks: readonly LitBlock[],
): Paleness | undefined {
  const counted = blocks.filter(({ weight }) => weight > 0.02);
  const saturation = Math.hypot(along[1], along[2]);
  if (counted.length < LEAST_BLOCKS || saturation === 0) return undefined;
  const { share, standardError } = mirroredShare(counted, along, saturation);
  const brighter =
    glaze[0] -
    quantile(
      counted.map(({ light }) => light),
      0.05,
    );
  if (!(brighter > 0)) return undefined;
  const deviation = Math.hypot(BENT_BY_CAMERA, TINTED_BY_ROOM / saturation, standardError);
  return { brighter, share, deviation };
}

/** What a little of the lamp's light, equal in all channels relative to the tile, does per ln of light. */
export function towardsLamp(glaze: LogTriple): LogTriple {
  const [r, g, b] = relativeRgb(glaze);
  const own = logTriple(r, g, b);
  const lit = logTriple(r + A_LITTLE, g + A_LITTLE, b + A_LITTLE);
  const brighter = lit[0] - own[0];
  return [1, (lit[1] - own[1]) / brighter, (lit[2] - own[2]) / brighter];
}

/** Weighted regression of colour, measured along what mirrored light does to it, on light. */
function mirroredShare(
  ring: readonly LitBlock[],
  along: LogTriple,
  saturation: number,
): { readonly share: number; readonly standardError: number } {
  const paler = ({ log }: LitBlock) =>
    (log[1] * along[1] + log[2] * along[2]) / (saturation * saturation);
  const whole = ring.reduce((sum, { weight }) => sum + weight, 0);
  const mean = (of: (block: LitBlock) => number) =>
    ring.reduce((sum, block) => sum + block.weight * of(block), 0) / whole;
  const [light, pale] = [mean((b) => b.light), mean(paler)];
  const spread = mean((b) => (b.light - light) ** 2) + 1e-12;
  const share = mean((b) => (b.light - light) * (paler(b) - pale)) / spread;
  const left = mean((b) => (paler(b) - pale - share * (b.light - light)) ** 2);
  return { share, standardError: TOGETHER * Math.sqrt(left / spread / ring.length) };
}

/** The share, 0–1, that the true one exceeds once in twenty, given the one seen. */
function mostShare(seen: Paleness): number {
  return exceededBy(
    likelyShares(seen).map(({ share, probability }) => ({ value: share, weight: probability })),
    ONCE_IN_TWENTY,
  );
}
const ONCE_IN_TWENTY = 0.05;

/**
 * How likely each share, 0–1, is, given the one seen: seldom something is mirrored, and then any share is
 * as likely (Bayes’ rule over a spike at 0 and an even spread). In order, from 0.
 */
export function likelyShares({
  share: seen,
  deviation,
}: Paleness): readonly { readonly share: number; readonly probability: number }[] {
  const likelihood = (share: number) => Math.exp(-0.5 * ((seen - share) / deviation) ** 2);
  const none = (1 - SELDOM) * likelihood(0);
  const some = Array.from({ length: SHARES }, (_, k) => (k + 0.5) / SHARES);
  const likely = some.map((share) => (SELDOM / SHARES) * likelihood(share));
  const all = likely.reduce((sum, v) => sum + v, none);
  // So far off that neither fits: the nearer end does.
  if (!(all > 0)) return [{ share: seen > 0 ? 1 : 0, probability: 1 }];
  return [
    { share: 0, probability: none / all },
    ...some.map((share, k) => ({ share, probability: likely[k]! / all })),
  ];
}
const SHARES = 40;
