/**
 * npm run --silent nudge -- REQUEST.json   one request
 * npm run --silent nudge -- --stdin        one JSON request a line, one JSON answer a line
 */
import { answerNudge } from '../paint/answer.ts';
import {
  answerLines,
  BadInput,
  commandLine,
  naming,
  parseJson,
  print,
  readText,
  run,
} from './lines.ts';

const USAGE = 'usage: nudge REQUEST.json, or nudge --stdin';

function answer(given: unknown): unknown {
  const answered = answerNudge(given);
  if (!answered.ok) throw new BadInput(answered.error);
  return answered;
}

await run(async () => {
  const { values, positionals } = commandLine(
    { allowPositionals: true, options: { stdin: { type: 'boolean' } } },
    USAGE,
  );
  const file = positionals[0];
  if (values.stdin) {
    if (file !== undefined) throw new BadInput(`${file} and --stdin cannot go together — ${USAGE}`);
    await answerLines(answer);
    return;
  }
  if (file === undefined || positionals.length > 1) throw new BadInput(USAGE);
  const text = await readText(file);
  print(await naming(file, () => answer(parseJson(text))));
});
