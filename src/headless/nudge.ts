/**
 * npm run --silent nudge -- REQUEST.json   one request
 * npm run --silent nudge -- --stdin        one JSON request a line, one JSON answer a line
 */
import { readFile } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import { answerNudge } from '../paint/answer.ts';
import { answerLines, BadInput, naming, parseJson, print, run } from './lines.ts';

const USAGE = 'usage: nudge REQUEST.json, or nudge --stdin';

function answer(given: unknown): unknown {
  const answered = answerNudge(given);
  if (!answered.ok) throw new BadInput(answered.error);
  return answered;
}

await run(async () => {
  const { values, positionals } = commandLine();
  const file = positionals[0];
  if (values.stdin) {
    if (file !== undefined) throw new BadInput(`${file} and --stdin cannot go together — ${USAGE}`);
    await answerLines(answer);
    return;
  }
  if (file === undefined || positionals.length > 1) throw new BadInput(USAGE);
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch {
    throw new BadInput(`${file}: there is no such file, or it cannot be opened`);
  }
  print(await naming(file, () => answer(parseJson(text))));
});

function commandLine() {
  try {
    return parseArgs({ allowPositionals: true, options: { stdin: { type: 'boolean' } } });
  } catch (fault) {
    throw new BadInput(`${fault instanceof Error ? fault.message : ''} — ${USAGE}`);
  }
}
