/** Every screen and sheet in turn, on the demo bench, for screenshots and for looking over by axe. */
import type { Page } from 'playwright-core';
import type { BenchPage } from './bench-page.ts';
import { photographOf, renderedFilm } from './rendered.ts';

export interface Stop {
  readonly name: string;
  /** Goes there from the stop before. */
  go(page: Page, bench: BenchPage): Promise<void>;
}

const closeSheet = async (page: Page) => {
  await page.keyboard.press('Escape');
  // Once more where something was typed: the first asks.
  if (await page.getByText('is not kept yet').isVisible()) await page.keyboard.press('Escape');
  await page.locator('lt-sheet[open]').waitFor({ state: 'detached' });
};
const sheet = async (page: Page, bench: BenchPage, button: string | RegExp) => {
  await bench.button(button).click();
  await page.getByRole('dialog').waitFor();
};
const screen = async (page: Page, name: string, element: string) => {
  await page.getByRole('link', { name }).click();
  await page.locator(element).first().waitFor();
};

export const TOUR: readonly Stop[] = [
  {
    name: 'bench-live',
    go: async (page) => {
      await page.getByText('Press Read to take the reading.').waitFor();
    },
  },
  {
    name: 'bench-reading',
    go: async (_, bench) => {
      await bench.read();
      await bench.nextAddition();
    },
  },
  { name: 'bench-saved', go: (_, bench) => bench.save() },
  { name: 'sheet-picture', go: (page, bench) => sheet(page, bench, /^Picture/) },
  {
    name: 'pot',
    go: async (page, bench) => {
      await closeSheet(page);
      await bench.pot.click();
      await page.locator('lt-colour-path svg').waitFor();
    },
  },
  {
    name: 'sheet-amounts',
    go: async (page, bench) => {
      await bench.button('State what is in the pot').click();
      await page.getByText('This is in the pot').waitFor();
    },
  },
  {
    name: 'sheet-first-mix',
    go: async (page, bench) => {
      await closeSheet(page);
      await bench.button('Start a new mix').click();
      await bench.button('Reckon').click();
      await page.getByRole('button', { name: 'I mixed this' }).waitFor();
    },
  },
  {
    name: 'film',
    go: async (page) => {
      await closeSheet(page);
      await screen(page, 'How it dries and hides', 'lt-film form');
    },
  },
  {
    name: 'sheet-keys',
    go: async (page) => {
      await screen(page, 'To the pot', 'lt-pot-screen');
      await screen(page, 'Back to the bench', 'lt-bench');
      await page.keyboard.press('?');
      await page.getByRole('dialog').waitFor();
    },
  },
  {
    name: 'bench-close-up-tile',
    go: async (page, bench) => {
      await closeSheet(page);
      await bench.button(/^Tile/).click();
      await bench.button('Close-up').click();
    },
  },
  {
    name: 'bench-blends',
    go: async (_, bench) => {
      await bench.button('Close-up').click();
      await bench.button(/^Dab/).click();
      await bench.untilItBlends();
      await bench.nextAddition();
    },
  },
  { name: 'sheet-before-spraying', go: (page, bench) => sheet(page, bench, 'Before you spray') },
  {
    name: 'map-empty',
    go: async (page) => {
      await closeSheet(page);
      await page.keyboard.press('m');
      await page.getByText('Draw round the sprayed area in').waitFor();
    },
  },
  {
    name: 'map',
    go: async (page) => {
      await page.keyboard.press('p');
      await page.locator('lt-blend-result').waitFor();
    },
  },
  {
    name: 'map-outline',
    go: async (page) => {
      await page.keyboard.press('o');
      await page.getByText('Drag the corners').waitFor();
    },
  },
  {
    name: 'sheet-map-keys',
    go: async (page) => {
      await page.keyboard.press('?');
      await page.getByRole('dialog').waitFor();
    },
  },
  {
    name: 'map-saved',
    go: async (page) => {
      await closeSheet(page);
      await page.keyboard.press('o');
      await page.locator('lt-blend-result').waitFor();
      await page.keyboard.press('s');
      await page.getByRole('link', { name: 'Open the saved map' }).waitFor();
    },
  },
  {
    name: 'map-record',
    go: async (page) => {
      await page.getByRole('link', { name: 'Open the saved map' }).click();
      await page.locator('lt-map-record svg image').waitFor({ state: 'attached' });
    },
  },
  {
    name: 'spray-sums',
    go: async (page, bench) => {
      await screen(page, 'Bench', 'lt-bench');
      await bench.pot.click();
      await page.getByRole('link', { name: 'Spray', exact: true }).click();
      await page.getByLabel('Length, mm').fill('2 cm');
      await page.getByLabel('Width, mm').fill('9');
    },
  },
  {
    name: 'spray-steps',
    go: async (page, bench) => {
      await page.getByLabel('Length, mm').fill('24');
      await bench.button('Start spraying').click();
      await page.locator('lt-spray-steps').waitFor();
    },
  },
  {
    name: 'shelf',
    go: async (page, bench) => {
      await page.getByRole('link', { name: 'Shelf' }).click();
      await bench.button('Put the pot on the shelf').click();
      await page.getByLabel('Paint in the jar').fill('3');
      await bench.button('Keep the jar').click();
      await bench.button(/^Label of/).click();
    },
  },
  {
    name: 'bench-no-camera',
    go: async (page, bench) => {
      await screen(page, 'Bench', 'lt-bench');
      await bench.choosePicture();
      await bench.button('Use the camera').click();
      await page.getByText('No camera was found.').waitFor();
    },
  },
  {
    name: 'light',
    go: async (page, bench) => {
      await bench.choosePicture();
      await bench.button(/^Demo bench/).click();
      await bench.choosePicture();
      await page.getByRole('link', { name: /Set up light and camera/ }).click();
      await page.getByText('Set up: go to the bench.').waitFor();
    },
  },
  { name: 'lamps', go: (page) => screen(page, 'Lamps', 'lt-lamps lt-lamp-pairs') },
  {
    name: 'camera-profiles',
    go: async (page) => {
      await page.evaluate(() => (location.hash = '#/profile'));
      await page.locator('lt-profile .panel').first().waitFor();
    },
  },
  { name: 'tone-response', go: (page) => screen(page, 'Tone response', 'lt-tone .panel') },
  {
    name: 'jobs',
    go: async (page) => {
      await screen(page, 'Jobs', 'lt-jobs .area');
    },
  },
  {
    name: 'sheet-job',
    go: (page, bench) => sheet(page, bench, /Edit the job/),
  },
  {
    name: 'sheet-match',
    go: async (page, bench) => {
      await closeSheet(page);
      await sheet(page, bench, /Edit the area/);
      await bench.button('Match this area again').click();
      await page.getByLabel('Name of the new piece').waitFor();
    },
  },
  {
    name: 'sheet-new-job',
    go: async (page, bench) => {
      await closeSheet(page);
      await sheet(page, bench, 'New job');
    },
  },
  {
    name: 'palette',
    go: async (page) => {
      await closeSheet(page);
      await screen(page, 'Palette', 'lt-palette lt-pigment');
      await page
        .getByText(/^Well known|^Fairly known/)
        .first()
        .waitFor();
    },
  },
  { name: 'sheet-doses', go: (page, bench) => sheet(page, bench, 'Doses') },
  {
    name: 'sheet-add-paint',
    go: async (page, bench) => {
      await closeSheet(page);
      await sheet(page, bench, 'Add a paint');
      await page.getByLabel('Colour Index generic name').fill('PY 35');
    },
  },
  {
    name: 'sheet-palettes',
    go: async (page, bench) => {
      await closeSheet(page);
      await sheet(page, bench, /Palettes/);
    },
  },
  {
    name: 'characterise',
    go: async (page, bench) => {
      await closeSheet(page);
      await bench.button('Read again ultramarine').click();
      await bench.choosePicture();
      await bench.button(/^Demo bench/).click();
      await bench.button(/Tint in white/).click();
      await page.getByText(/now, steady/).waitFor();
    },
  },
  {
    name: 'settings',
    go: (page) => screen(page, 'Settings', 'lt-settings form'),
  },
  {
    name: 'treatment-record',
    go: async (page) => {
      await screen(page, 'Jobs', 'lt-jobs .area');
      await page.getByRole('link', { name: 'Record' }).click();
      await page.locator('lt-treatment table').first().waitFor();
    },
  },
  {
    name: 'sheet-write-record',
    go: (page, bench) => sheet(page, bench, 'Write'),
  },
  {
    name: 'reading',
    go: async (page, bench) => {
      await closeSheet(page);
      await screen(page, 'Bench', 'lt-bench');
      await bench.button(/^Attempt 1/).click();
      await page.locator('lt-reading lt-crop').waitFor();
    },
  },
  {
    name: 'bench-refused',
    go: async (page, bench) => {
      await screen(page, 'Back to the bench', 'lt-bench');
      const film = renderedFilm();
      const { dab, glaze } = film.truth.regions;
      // So dark that nothing in it can be a tile: two reasons.
      await bench.openPhoto(await photographOf(film, 'dark.png', 0.02));
      await page.getByText('Tap the dab in the picture.').waitFor();
      await bench.tap(film, dab);
      await bench.tap(film, glaze);
      await page.getByText('The tile is too dark').waitFor();
    },
  },
];
