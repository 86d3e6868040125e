/** The photographs of a folder that a person chose. */
import { PHOTO_ENDINGS } from '../photo/endings.ts';
import { photoHeader } from '../photo/header.ts';

/** Enough of a file to tell what it is. */
const HEAD_BYTES = 64;

/** Does the browser let a person choose a folder? */
export const choosesFolders = (): boolean => 'webkitdirectory' in HTMLInputElement.prototype;

/**
 * What in the folder itself, not in folders within it, is a photograph or is called like one; by name.
 * @param files all of the folder, as an input with `webkitdirectory` gives them
 */
export async function photosInFolder(files: readonly File[]): Promise<File[]> {
  const own = files.filter(
    ({ name, webkitRelativePath: path }) => !name.startsWith('.') && path.split('/').length <= 2,
  );
  const photos = await Promise.all(
    own.map(async (file) => {
      const ending = /\.[^.]+$/.exec(file.name)?.[0].toLowerCase() ?? '';
      return PHOTO_ENDINGS.includes(ending) || (await isPhoto(file)) ? [file] : [];
    }),
  );
  const { compare } = new Intl.Collator('en', { numeric: true });
  return photos.flat().sort((one, other) => compare(one.name, other.name));
}

async function isPhoto(file: File): Promise<boolean> {
  try {
    const head = new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer());
    return photoHeader(head).format !== 'other';
  } catch {
    return false;
  }
}
