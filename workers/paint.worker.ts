/** The paint worker: what to add next, off the page's own thread. */
import { expose } from 'comlink';
import { answerNudge } from '../src/paint/answer.ts';
import { pull } from '../src/paint/predict.ts';
import { characterisationsOf } from '../src/paint/quality.ts';
import { faultOfPalette } from '../src/paint/request.ts';
import { WARM_UP_REQUESTS } from '../src/paint/warm-up.ts';
import type { NotReckoned, PaintWorkerApi } from './paint-api.ts';

const WARM_UP_ROUNDS = 2;
let isAsked = false;

// Async, so that a throw becomes a rejection on the other side.
/* eslint-disable @typescript-eslint/require-await */
const api = {
  async warmUp() {
    const all = Array.from({ length: WARM_UP_ROUNDS }, () => WARM_UP_REQUESTS).flat();
    for (const request of all) {
      // Whoever asks meanwhile comes first, and warms what is left.
      if (isAsked) break;
      answerNudge(request);
      await new Promise((turn) => setTimeout(turn));
    }
    return true;
  },
  async nudge(request) {
    isAsked = true;
    return answerNudge(request);
  },
  async firstMix(request) {
    return answerNudge({ ...request, pot: {} });
  },
  async characterisations(palette) {
    const error = faultOfPalette(palette);
    if (error !== undefined) return { ok: false, error };
    return { ok: true, characterisations: characterisationsOf(palette) };
  },
  async pulls(palette, pot, dabLab) {
    const error = faultOfPalette(palette);
    if (error !== undefined) return { ok: false, error };
    return refusing(() => ({ ok: true as const, pulls: pull(palette, pot, dabLab) }));
  },
} satisfies PaintWorkerApi;

/** The core's RangeErrors are said in the person's words: they are answers, not bugs. */
function refusing<T>(work: () => T): T | NotReckoned {
  try {
    return work();
  } catch (error) {
    if (error instanceof RangeError) return { ok: false, error: error.message };
    throw error;
  }
}

expose(api);
