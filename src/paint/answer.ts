/** From what a caller sends to what it gets: checked, then answered. */
import { firstNudge } from './first-nudge.ts';
import { nudge } from './nudge.ts';
import { asksForFirstMix, checkFirstMixRequest, checkNudgeRequest } from './request.ts';
import type { NudgeAnswer } from './types.ts';

/**
 * Answers anything: a request with a pot by what to add to it, one whose pot is `{}` by a mix from
 * nothing, and one at fault by the fault in the person's words. Never throws, never NaN.
 */
export function answerNudge(given: unknown): NudgeAnswer {
  if (asksForFirstMix(given)) {
    const checked = checkFirstMixRequest(given);
    return checked.ok ? firstNudge(checked.request) : checked;
  }
  const checked = checkNudgeRequest(given);
  return checked.ok ? nudge(checked.request) : checked;
}
