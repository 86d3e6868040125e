/** Every screen and sheet in turn, on the demo bench, for screenshots and for looking over by axe. */
import type { Page } from 'playwright-core';
import type { BenchPage } from './bench-page.ts';

export interface Stop {
  readonly name: string;
  /** Goes there from the stop before. */
  go(page: Page, bench: BenchPage): Promise<void>;
}

const closeSheet = async (page: Page) => {
  await page.keyboard.press('Escape');
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
      await page.getByText('Press Read to take the reading.').waitFor({ timeout: 60_000 });
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
    name: 'sheet-pot',
    go: async (page, bench) => {
      await closeSheet(page);
      await sheet(page, bench, /^Pot/);
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
    name: 'sheet-keys',
    go: async (page) => {
      await closeSheet(page);
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
    go: async (page, bench) => {
      await bench.button('Close-up').click();
      await bench.button(/^Dab/).click();
      for (let addition = 0; addition < 6; addition += 1) {
        await bench.read();
        await bench.save();
        if ((await bench.verdict()) === 'blends') return;
        await bench.nextAddition();
        await page.keyboard.press('a');
        await page.getByText('Added to the pot.').first().waitFor();
      }
    },
  },
  { name: 'sheet-before-spraying', go: (page, bench) => sheet(page, bench, 'Before you spray') },
  {
    name: 'bench-no-camera',
    go: async (page, bench) => {
      await closeSheet(page);
      await bench.choosePicture();
      await bench.button('Use the camera').click();
      await page.getByText('No camera was found.').waitFor();
    },
  },
  {
    name: 'jobs',
    go: async (page) => {
      await screen(page, 'Jobs', 'lt-jobs .area');
    },
  },
  { name: 'sheet-new-job', go: (page, bench) => sheet(page, bench, 'New job') },
  {
    name: 'palette',
    go: async (page) => {
      await closeSheet(page);
      await screen(page, 'Palette', 'lt-palette .pigment');
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
      await page.locator('lt-treatment table').waitFor();
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
];
