/** `npm run icons`: the icons that a device shows for the installed app, from public/icon.svg. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';

const PUBLIC = join(import.meta.dirname, '../../public');
const BACKGROUND = '#2a2a2a';
/** What a mask may cut off lies outside a circle of 40 % radius (W3C Web Application Manifest, § icon masks). */
const SAFE = 0.66;

const drawing = readFileSync(join(PUBLIC, 'icon.svg'));

async function icon(name: string, side: number, share: number): Promise<void> {
  const inner = Math.round(side * share);
  const picture = await sharp(drawing, { density: 1200 }).resize(inner, inner).png().toBuffer();
  await sharp({ create: { width: side, height: side, channels: 4, background: BACKGROUND } })
    .composite([{ input: picture, gravity: 'centre' }])
    .flatten({ background: BACKGROUND })
    .png({ compressionLevel: 9, palette: true })
    .toFile(join(PUBLIC, 'icons', name));
}

await icon('icon-192.png', 192, 1);
await icon('icon-512.png', 512, 1);
await icon('maskable-512.png', 512, SAFE);
await icon('touch-180.png', 180, 0.86);
