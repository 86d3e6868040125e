/** The tile, or a row of grey steps, in one shot: the codes of each place. */
import type { EncodedPicture, PixelPoint, PixelPolygon } from '../types.ts';
import { PATCH_FAULTS, seenPatch } from './patch.ts';
import { CLIPPED, DARK, LEAST_STEPS } from './tone-response.ts';

export type ToneSubject =
  | { readonly kind: 'tile'; readonly at: PixelPoint }
  /** A row of equal steps: the middles of its first and of its last, px. */
  | {
      readonly kind: 'card';
      readonly first: PixelPoint;
      readonly last: PixelPoint;
      readonly steps: number;
    };

export const MOST_STEPS = 30;

export type StepCodes =
  | {
      readonly ok: true;
      /** Mean codes of each place, shares of range; undefined where it cannot be used in this shot. */
      readonly places: readonly (readonly [number, number, number] | undefined)[];
      readonly warnings: readonly string[];
      /** The tile: whether it is the bright half of the range. */
      readonly isBright?: boolean;
    }
  /** One line for the person. */
  | { readonly ok: false; readonly message: string };

/** Half the side that is sampled, as a share of the distance from step to step. */
const SAMPLED = 0.2;
/** Of the tile, as a share of the picture's shorter side. */
const ON_TILE = 0.015;
/** Codes by which a step must differ from the one before. */
const DIFFERENT = 0.004;

/** @returns codes in the card's own order; steps too bright or too dark in this shot are left out by name */
export function stepCodes(picture: EncodedPicture, subject: ToneSubject): StepCodes {
  const fault = (message: string): StepCodes => ({ ok: false, message });
  if (subject.kind === 'tile') {
    const half = halfOnTile(picture);
    const seen = seenPatch(picture, square(subject.at, half));
    if (seen.fault === 'outside' || seen.fault === 'uneven') {
      return fault(`The place on the tile is ${PATCH_FAULTS[seen.fault]}.`);
    }
    const usable = isUsable(seen.encoded) && !seen.fault;
    return {
      ok: true,
      places: [usable ? seen.encoded : undefined],
      warnings: usable ? [] : [`The tile is too ${isBright(seen.encoded) ? 'bright' : 'dark'}.`],
      isBright: isBright(seen.encoded),
    };
  }
  const { first, last, steps } = subject;
  if (!Number.isInteger(steps) || steps < LEAST_STEPS || steps > MOST_STEPS) {
    return fault(
      `A step card has ${String(LEAST_STEPS)} to ${String(MOST_STEPS)} steps, not ${String(steps)}.`,
    );
  }
  const pitch = Math.hypot(last.x - first.x, last.y - first.y) / (steps - 1);
  if (pitch < 12) return fault('The steps are too small in the picture: go nearer.');
  const seen = Array.from({ length: steps }, (_, i) => {
    return seenPatch(picture, square(middleOf(subject, i), SAMPLED * pitch));
  });
  const at = (why: string) => seen.findIndex((one) => one.fault === why) + 1;
  if (at('outside') > 0) return fault(`Step ${String(at('outside'))} is outside the picture.`);
  if (at('uneven') > 0) {
    return fault(
      `Step ${String(at('uneven'))} is uneven: a highlight, a shadow, or the marks stand between two steps.`,
    );
  }
  const order = outOfOrder(seen.map(({ encoded }) => encoded));
  if (order) return fault(order);
  const warnings: string[] = [];
  const places = seen.map(({ encoded, fault: why }, i) => {
    if (!why && isUsable(encoded)) return encoded;
    warnings.push(
      `Step ${String(i + 1)} is left out of this shot: it is too ${isBright(encoded) ? 'bright' : 'dark'}.`,
    );
    return undefined;
  });
  return { ok: true, places, warnings };
}

const halfOnTile = ({ width, height }: EncodedPicture): number =>
  Math.max(4, ON_TILE * Math.min(width, height));

function middleOf({ first, last, steps }: ToneSubject & { kind: 'card' }, i: number): PixelPoint {
  const t = i / (steps - 1);
  return { x: first.x + t * (last.x - first.x), y: first.y + t * (last.y - first.y) };
}

/** Where a shot is sampled, as outlines, px. */
export function stepSquares(picture: EncodedPicture, subject: ToneSubject): PixelPolygon[] {
  const round = ({ x, y }: PixelPoint, half: number): PixelPolygon => [
    { x: x - half, y: y - half },
    { x: x + half, y: y - half },
    { x: x + half, y: y + half },
    { x: x - half, y: y + half },
  ];
  if (subject.kind === 'tile') return [round(subject.at, halfOnTile(picture))];
  const { first, last, steps } = subject;
  const half = (SAMPLED * Math.hypot(last.x - first.x, last.y - first.y)) / (steps - 1);
  return Array.from({ length: steps }, (_, i) => round(middleOf(subject, i), half));
}

type Codes = readonly [number, number, number];
const isBright = (codes: Codes) => Math.max(...codes) > 0.5;
const isUsable = (codes: Codes) => Math.max(...codes) < CLIPPED && Math.min(...codes) >= DARK;

/** From one end to the other a step card grows brighter, or darker, at every step. */
function outOfOrder(codes: readonly Codes[]): string | undefined {
  const mean = codes.map(([r, g, b]) => (r + g + b) / 3);
  const way = Math.sign(mean[mean.length - 1]! - mean[0]!) || 1;
  const ends = (v: number) => v >= CLIPPED || v <= DARK;
  for (let i = 1; i < mean.length; i++) {
    const [before, here] = [mean[i - 1]!, mean[i]!];
    if (ends(before) && ends(here)) continue;
    if (way * (here - before) < DIFFERENT) {
      return `Step ${String(i + 1)} is not ${way > 0 ? 'brighter' : 'darker'} than step ${String(i)}: the steps must lie in order, and their number must be right.`;
    }
  }
  return undefined;
}

function* square({ x, y }: PixelPoint, half: number) {
  const steps = Math.min(40, Math.max(6, Math.ceil(2 * half)));
  for (let i = 0; i < steps; i++) {
    for (let j = 0; j < steps; j++) {
      yield { x: x + ((2 * i + 1) / steps - 1) * half, y: y + ((2 * j + 1) / steps - 1) * half };
    }
  }
}
