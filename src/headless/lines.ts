/** How both commands talk: one request, or one JSON request a line and one JSON answer a line. */
import { readFile } from 'node:fs/promises';
import { createInterface } from 'node:readline';
import { parseArgs, type ParseArgsConfig } from 'node:util';

/** Input at fault: one line that names it. Everything else that is thrown is a bug. */
export class BadInput extends Error {}

/** Runs `work`; bad input in it is named by where it stood: a file, or a line. */
export async function naming<T>(where: string, work: () => T | Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (fault) {
    throw fault instanceof BadInput ? new BadInput(`${where}: ${fault.message}`) : fault;
  }
}

/** The command line. @throws BadInput with the usage when it is not understood */
export function commandLine<T extends ParseArgsConfig>(
  config: T,
  usage: string,
): ReturnType<typeof parseArgs<T>> {
  try {
    return parseArgs(config);
  } catch (fault) {
    throw new BadInput(`${fault instanceof Error ? fault.message : ''} — ${usage}`);
  }
}

/** @throws BadInput naming the file */
export async function readBytes(file: string): Promise<Buffer> {
  try {
    return await readFile(file);
  } catch {
    throw new BadInput(`${file}: there is no such file, or it cannot be opened`);
  }
}
export const readText = async (file: string): Promise<string> =>
  (await readBytes(file)).toString('utf8');

/** Parses JSON or says where it is broken. */
export function parseJson(text: string): unknown {
  try {
    // Some editors begin a file with a byte order mark.
    return JSON.parse(text.replace(/^\uFEFF/, '')) as unknown;
  } catch (fault) {
    throw new BadInput(`not JSON (${fault instanceof Error ? fault.message : ''})`);
  }
}

/**
 * Answers every line of standard input in order; empty lines are passed over. A line at fault is
 * answered too, with `{"ok": false, "error": …}`, so that answers stay beside their requests; the
 * exit code is then 2.
 */
export async function answerLines(answer: (request: unknown) => unknown): Promise<void> {
  let line = 0;
  for await (const text of createInterface({ input: process.stdin, crlfDelay: Infinity })) {
    line++;
    if (text.trim() === '') continue;
    try {
      print(await naming(`line ${line}`, () => answer(parseJson(text))));
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
  process.stderr.write(`${fault.message.replace(/\s*\n\s*/g, ' ')}\n`);
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
