/** How both commands talk: one request, or one JSON request a line and one JSON answer a line. */
import { createInterface } from 'node:readline';

/** Input at fault: one line that names it. Everything else that is thrown is a bug. */
export class BadInput extends Error {}

/** Parses JSON or says where it is broken. */
export function parseJson(text: string, where: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch (fault) {
    throw new BadInput(`${where}: not JSON (${fault instanceof Error ? fault.message : ''})`);
  }
}

/**
 * Answers every line of standard input in order. A line at fault is answered too, with
 * `{"ok": false, "error": …}`, so that answers stay beside their requests; the exit code is then 2.
 */
export async function answerLines(
  answer: (request: unknown, where: string) => unknown,
): Promise<void> {
  let line = 0;
  for await (const text of createInterface({ input: process.stdin, crlfDelay: Infinity })) {
    line++;
    if (text.trim() === '') continue;
    const where = `line ${line}`;
    try {
      print(await answer(parseJson(text, where), where));
    } catch (fault) {
      if (!(fault instanceof BadInput)) throw fault;
      print({ ok: false, error: fault.message });
      fail(fault);
    }
  }
}

export function print(answer: unknown): void {
  process.stdout.write(`${JSON.stringify(answer)}\n`);
}

export function fail(fault: BadInput): void {
  process.stderr.write(`${fault.message.replaceAll('\n', ' ')}\n`);
  process.exitCode = 2;
}

/** Runs a command; bad input ends it with one line and exit code 2. */
export async function run(command: () => Promise<void>): Promise<void> {
  try {
    await command();
  } catch (fault) {
    if (!(fault instanceof BadInput)) throw fault;
    fail(fault);
  }
}
