/** `tsx tests/journeys/screens.ts`: a picture of every screen at three sizes, into screens/. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp } from './browser.ts';
import { TOUR } from './tour.ts';

const folder = join(import.meta.dirname, 'screens');
mkdirSync(folder, { recursive: true });
const served = await serveApp();
try {
  for (const [name, size] of Object.entries(SIZES)) {
    const journey = await openBrowser({ camera: 'none', size });
    try {
      const bench = new BenchPage(journey.page, served.address);
      await bench.open();
      for (const [index, stop] of TOUR.entries()) {
        await stop.go(journey.page, bench);
        const number = String(index + 1).padStart(2, '0');
        const path = join(folder, `${number}-${stop.name}-${name}.png`);
        await journey.page.screenshot({ path });
      }
      for (const complaint of journey.complaints) console.warn(`${name}: ${complaint}`);
    } finally {
      await journey.close();
    }
  }
} finally {
  await served.close();
}
console.log(`Screens at ${Object.keys(SIZES).join(', ')}: ${folder}`);
