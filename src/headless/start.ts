/**
 * `npm start`: builds the app and serves it on this computer only, at an address that stays the
 * same, for jobs are kept by address. `npm start -- --lan` serves it to the network as well.
 */
import { join } from 'node:path';
import { build, preview } from 'vite';
import { serveLan } from './lan.ts';

const ROOT = join(import.meta.dirname, '../..');

const unknown = process.argv.slice(2).filter((word) => word !== '--lan');
if (unknown.length > 0) {
  process.stderr.write(`npm start knows --lan only, but was given: ${unknown.join(' ')}\n`);
  process.exit(2);
}

try {
  process.chdir(ROOT);
  process.stdout.write('Building the app: half a minute or less.\n');
  await build({ logLevel: 'error' });
  const server = await preview({ preview: { open: true } });
  server.printUrls();
  if (process.argv.includes('--lan')) {
    const { lines } = await serveLan({ folder: join(ROOT, '.cache/https') });
    process.stdout.write(`${lines.join('\n')}\n`);
  }
} catch (error) {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  process.exit(1);
}
