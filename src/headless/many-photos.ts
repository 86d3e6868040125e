/** Several photographs, or a folder of them, read one after the other by the same regions. */
import { open, readdir, stat } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { PHOTO_ENDINGS } from '../photo/endings.ts';
import { photoHeader } from '../photo/header.ts';
import { BadInput, fail, print } from './lines.ts';

/** Enough of a file to tell what it is. */
const HEAD_BYTES = 64;

/**
 * The photographs that are meant: files as they are, of folders what is a photograph or is called like
 * one, by name.
 * @throws BadInput naming the folder that holds none
 */
export async function photosIn(paths: readonly string[]): Promise<string[]> {
  const all = await Promise.all(
    paths.map(async (path) => ((await isFolder(path)) ? await photosOf(path) : [path])),
  );
  return all.flat();
}

export const isFolder = async (path: string): Promise<boolean> =>
  (await stat(path).catch(() => undefined))?.isDirectory() ?? false;

async function photosOf(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  const files = entries.filter((entry) => entry.isFile() && !entry.name.startsWith('.'));
  const names = files
    .map(({ name }) => name)
    .sort(new Intl.Collator('en', { numeric: true }).compare);
  const photos: string[] = [];
  for (const name of names) {
    const path = join(folder, name);
    if (PHOTO_ENDINGS.includes(extname(name).toLowerCase()) || (await isPhoto(path))) {
      photos.push(path);
    }
  }
  if (photos.length === 0) throw new BadInput(`${folder}: there is no photograph in this folder`);
  return photos;
}

async function isPhoto(path: string): Promise<boolean> {
  const file = await open(path);
  try {
    const { buffer, bytesRead } = await file.read(new Uint8Array(HEAD_BYTES), 0, HEAD_BYTES, 0);
    return photoHeader(buffer.subarray(0, bytesRead)).format !== 'other';
  } finally {
    await file.close();
  }
}

/**
 * Prints one answer a line, each with its photograph; one that cannot be read is answered too, and the
 * exit code is then 2. How far it is stands on the terminal, when there is one. Ctrl-C ends it after
 * the photograph under way; what was answered stands.
 */
export async function answerMany(
  photos: readonly string[],
  answer: (photo: string) => Promise<object>,
): Promise<void> {
  const cancelled = new AbortController();
  const cancel = () => cancelled.abort();
  process.once('SIGINT', cancel);
  try {
    for (const [i, photo] of photos.entries()) {
      // Lets a Ctrl-C in that came while a photograph was read.
      await new Promise((resolve) => setImmediate(resolve));
      if (cancelled.signal.aborted) {
        process.stderr.write(`cancelled: ${i} of ${photos.length} photographs were read\n`);
        process.exitCode = 130;
        return;
      }
      if (process.stderr.isTTY) process.stderr.write(`${i + 1} of ${photos.length}: ${photo}\n`);
      try {
        print({ photo, ...(await answer(photo)) });
      } catch (fault) {
        if (!(fault instanceof BadInput)) throw fault;
        print({ photo, ok: false, error: fault.message });
        fail(fault);
      }
    }
  } finally {
    process.off('SIGINT', cancel);
  }
}
