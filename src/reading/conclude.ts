/** The last steps that every kind of reading shares: Lab, interval, verdict, words, sentence. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { likeliest } from './likeliest.ts';
import type { LogDifference } from './uncertainty.ts';
import { deltaE00Interval, labDifference, uncertaintyShares } from './uncertainty.ts';
import { verdictsOn } from './verdict.ts';
import { differenceWords } from './words.ts';
import type {
  Reading,
  ReadingEvidence,
  ReadingSettings,
  RefusalReason,
  UncertaintyShare,
} from './types.ts';

/** A reading as far as the part of the picture round the dab tells it. */
export type Concluded = Omit<Reading, 'ok' | 'tile' | 'algorithm'>;
export type Read =
  | { readonly ok: true; readonly reading: Concluded }
  | { readonly ok: false; readonly reasons: readonly RefusalReason[] };

export const reject = (...reasons: readonly RefusalReason[]): Read => ({ ok: false, reasons });

export function conclude(
  log: LogDifference,
  settings: ReadingSettings,
  evidence: ReadingEvidence,
  warnings: readonly string[],
): Read {
  const read = labDifference(log, settings.tileColour, settings.profile);
  // The interval and the verdict rest on what was read; the number told is the likeliest.
  const asRead = deltaE00Interval(read);
  const { interval95 } = asRead;
  const difference = likeliest(read);
  const told = deltaE00(difference.glazeLab, difference.dabLab);
  const shares = uncertaintyShares(difference);
  return {
    ok: true,
    reading: {
      glazeLab: difference.glazeLab,
      dabLab: difference.dabLab,
      difference: {
        lab: difference.lab,
        deltaE00: told,
        interval95: [Math.min(interval95[0], told), interval95[1]],
        covariance: difference.covariance,
      },
      verdict: verdictsOn(asRead, settings.thresholds),
      words: differenceWords(difference.glazeLab, difference.dabLab),
      warnings,
      uncertainty: { shares, sentence: sentence(shares) },
      evidence,
    },
  };
}

const HELP: Record<UncertaintyShare['source'], string> = {
  noise: 'the noise of the picture: let more frames settle, or use more light',
  shading: 'the curve of the piece: move the dab towards the middle of a flatter place',
  texture: 'the unevenness of glaze or dab: make the dab larger and more even',
  tile: 'what is known of the tile: enter its measured colour',
  tone: 'the camera’s own rendering: turn its picture styles and filters off',
  pigments: 'the camera seeing pigments otherwise than the eye: look under the lamp yourself, too',
  turn: 'the turn of the piece to the lamp: let it face the lamp as the tile does',
  placement: 'the dab lying beside the piece: put it on the glaze',
  highlight: 'glare near the dab: turn the piece until it moves away',
};

/** What rules the uncertainty, and what would help, in one sentence. */
function sentence(shares: readonly UncertaintyShare[]): string {
  const first = shares[0];
  return first ? `Mostly ${HELP[first.source]}.` : '';
}
