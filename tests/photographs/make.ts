/**
 * Writes the HEIC files beside it anew, by Debian's `heif-enc` (package libheif-examples): no library on
 * npm encodes HEVC. `npx tsx tests/photographs/make.ts`
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { photographOf, renderedFilm } from '../journeys/rendered.ts';
import { inDisplayP3 } from './display-p3.ts';
import { bytesOf } from './bytes.ts';
import { exifBlock, jpegWithExif } from './exif.ts';
import { patchImage, patchImage8, PATCHES } from './patches.ts';

const temporary = mkdtempSync(join(tmpdir(), 'heic-'));
const p3 = PATCHES.map(inDisplayP3);

async function encode(
  name: string,
  png: Uint8Array,
  { quality = 90, options = [] as readonly string[], from = 'png' } = {},
) {
  const source = join(temporary, `${name}.${from}`);
  await writeFile(source, png);
  const target = join(import.meta.dirname, `${name}.heic`);
  execFileSync('heif-enc', [source, '-o', target, '-q', String(quality), ...options]);
}

const deep = { options: ['-b', '10'] };

await encode('patches', await bytesOf(patchImage8().png()));
await encode('patches-10-bit', await bytesOf(patchImage().png()), deep);
await encode('patches-p3', await bytesOf(patchImage(p3).withIccProfile('p3').png()), deep);
await encode('bench', Uint8Array.from((await photographOf(renderedFilm())).buffer), {
  quality: 80,
});

// Flat and grey: what it says of itself is what counts.
const flat = sharp({ create: { width: 64, height: 64, channels: 3, background: '#808080' } });
const said = { time: [1, 40], fNumber: [28, 10], iso: 200, flash: 16 } as const;
await encode('exposure', jpegWithExif(await bytesOf(flat.jpeg()), exifBlock(said, false)), {
  quality: 30,
  from: 'jpg',
});
