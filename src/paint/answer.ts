/** From what a caller sends to what it gets: checked, then answered. */
import { nudge } from './nudge.ts';
import { checkNudgeRequest } from './request.ts';
import type { NudgeAnswer } from './types.ts';

/** Answers anything: a request at fault is answered with the fault in the person's words. */
export function answerNudge(given: unknown): NudgeAnswer {
  const checked = checkNudgeRequest(given);
  return checked.ok ? nudge(checked.request) : checked;
}
