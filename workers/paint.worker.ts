/** The paint worker: what to add next, off the page's own thread. */
import { expose } from 'comlink';
import { firstMix } from '../src/paint/first-mix.ts';
import { nudge } from '../src/paint/nudge.ts';
import { checkNudgeRequest } from '../src/paint/request.ts';
import type { PaintWorkerApi } from './paint-api.ts';

// Async, so that a throw becomes a rejection on the other side.
/* eslint-disable @typescript-eslint/require-await */
const api = {
  async nudge(request) {
    const checked = checkNudgeRequest(request);
    return checked.ok ? nudge(checked.request) : checked;
  },
  async firstMix(palette, glazeLab, totalGrams, smallest) {
    return firstMix(palette, glazeLab, totalGrams, smallest);
  },
} satisfies PaintWorkerApi;

expose(api);
