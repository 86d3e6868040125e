import { expect, test } from 'vitest';
import { answerNudge } from '../../src/paint/answer.ts';
import { WARM_UP_REQUESTS } from '../../src/paint/warm-up.ts';

test('what a worker is warmed with goes all the way: a suggestion, and a start again', () => {
  const [onTheWay, tooMuchRed] = WARM_UP_REQUESTS.map((request) => answerNudge(request));
  expect(onTheWay).toMatchObject({ ok: true });
  expect(onTheWay!.ok && onTheWay!.suggestions.length).toBeGreaterThan(0);
  expect(tooMuchRed).toMatchObject({ ok: true });
  expect(tooMuchRed!.ok && tooMuchRed!.reason).toMatch(/pot|mix/);
});
