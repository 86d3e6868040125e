/** What a person does on the bench, in a browser: tap, press, read what the screen says. */
import type { Locator, Page } from 'playwright-core';

export interface Picture {
  readonly width: number;
  readonly height: number;
}
export interface Point {
  readonly x: number;
  readonly y: number;
}

export const SIZES = {
  phone: { width: 390, height: 844 },
  tablet: { width: 1024, height: 768 },
  laptop: { width: 1600, height: 1000 },
} as const;

export class BenchPage {
  constructor(
    readonly page: Page,
    private readonly address: string,
  ) {}

  async open(): Promise<void> {
    await this.page.goto(this.address);
    await this.page.locator('lt-bench').waitFor();
  }

  /** Another screen by its address. */
  async go(screen: string, element: string): Promise<void> {
    await this.page.goto(`${this.address}#/${screen}`);
    await this.page.locator(element).waitFor();
  }

  button(name: string | RegExp): Locator {
    return this.page.getByRole('button', { name });
  }

  /** What says how much is in the pot, and leads to it. */
  get pot(): Locator {
    return this.page.getByRole('link', { name: /^Pot/ });
  }

  /** Opens the sheet that says where the picture comes from. */
  async choosePicture(): Promise<void> {
    await this.button(/^Picture/).click();
    await this.page.getByRole('dialog').waitFor();
  }

  async openPhoto(file: { name: string; mimeType: string; buffer: Buffer }): Promise<void> {
    await this.choosePicture();
    await this.page.locator('input[type=file]').first().setInputFiles(file);
  }

  /** Taps a point of the picture, given in the picture's own pixels. */
  async tap(picture: Picture, point: Point): Promise<void> {
    const box = await this.page.locator('lt-viewfinder').boundingBox();
    const scale = Math.max(picture.width / box!.width, picture.height / box!.height);
    await this.page.mouse.click(
      box!.x + box!.width / 2 + (point.x - picture.width / 2) / scale,
      box!.y + box!.height / 2 + (point.y - picture.height / 2) / scale,
    );
  }

  /** Waits until the picture is as still as it must be, presses Read, and waits until a reading is held. */
  async read(): Promise<void> {
    // The bench waits for it too, but not for ever.
    const still = /steady, holds|photograph|reading held/;
    await this.page.locator('lt-bench .chip b').filter({ hasText: still }).waitFor();
    await this.page.getByRole('button', { name: /^Read/, disabled: false }).waitFor();
    await this.page.keyboard.press('r');
    await this.page.getByText('reading held').waitFor();
  }

  /** Presses Save and waits until it is kept. */
  async save(): Promise<void> {
    // A key pressed while the bench is busy does nothing.
    await this.page.getByRole('button', { name: /^Save/, disabled: false }).waitFor();
    await this.page.keyboard.press('s');
    await this.button(/^Saved/).waitFor();
  }

  /** Records the addition that is suggested. */
  async add(): Promise<void> {
    await this.page.getByRole('button', { name: /^Added it/, disabled: false }).waitFor();
    await this.page.keyboard.press('a');
    await this.page.getByText('Added to the pot.').first().waitFor();
  }

  /**
   * Reads, saves and adds until the dab blends, as often as it takes: the hand and the eye of the demo
   * bench are no surer than another's. Where nothing is suggested, the dab is read once more.
   * @returns what was read, and how many additions it took
   */
  async untilItBlends(mostAdditions = 12) {
    const read: number[] = [];
    let additions = 0;
    for (;;) {
      await this.read();
      await this.save();
      read.push((await this.difference()).value);
      if ((await this.verdict()) === 'blends') return { read, additions };
      const isSuggested = /→ \d/.test(await this.nextAddition());
      if (additions === mostAdditions || read.length > 2 * mostAdditions) {
        throw new Error(`no dab of ${additions} additions blends: ΔE₀₀ ${read.join(', ')}`);
      }
      if (!isSuggested) continue;
      await this.add();
      additions += 1;
    }
  }

  /** The next addition, once it is there or there is none to make. */
  async nextAddition(): Promise<string> {
    const nudge = this.page.locator('lt-nudge');
    const said = nudge.locator('.choices, .message');
    await said.filter({ hasNotText: /Reckoning|is suggested here/ }).waitFor();
    return await textIn(nudge);
  }

  /** ΔE₀₀ as the screen shows it, and its interval. */
  async difference(): Promise<{ readonly value: number; readonly interval: [number, number] }> {
    const shown = await textIn(this.page.locator('lt-difference'));
    const [, value, low, high] = /([\d.]+).*? ([\d.]+) to ([\d.]+)/.exec(shown) ?? [];
    return { value: Number(value), interval: [Number(low), Number(high)] };
  }

  async verdict(): Promise<string> {
    return (await this.page.locator('lt-verdict .word').innerText()).toLowerCase();
  }

  /** Where parts of the bench stand, all at one moment: live words change and move them. */
  async boxesOf(
    ...parts: string[]
  ): Promise<{ x: number; y: number; width: number; height: number }[]> {
    return await this.page.locator('lt-bench').evaluate(
      (screen, selectors) =>
        selectors.map((selector) => {
          const { x, y, width, height } = screen
            .shadowRoot!.querySelector(selector)!
            .getBoundingClientRect();
          return { x, y, width, height };
        }),
      parts,
    );
  }

  /** Reloads the page and stays; the kind of the dialog that asked. A page not used yet asks nothing. */
  async askedOnLeaving(): Promise<string> {
    const asked = new Promise<string>((resolve) => {
      this.page.once('dialog', (dialog) => {
        resolve(dialog.type());
        void dialog.dismiss();
      });
    });
    await this.page.mouse.click(5, 5);
    await this.page.evaluate(() => {
      location.reload();
    });
    return await asked;
  }

  /** The spoken names of the saved attempts. */
  async attempts(): Promise<string[]> {
    await this.page.locator('lt-attempts').waitFor();
    const buttons = this.page.locator('lt-attempts ol button');
    return await buttons.evaluateAll((all) => all.map((one) => one.getAttribute('aria-label')!));
  }
}

/** Once everything is kept for use without a network; until then its files come in, and take up room. */
export async function keptForOffline(page: Page): Promise<void> {
  await page.waitForFunction(async () => {
    const registration = await navigator.serviceWorker.getRegistration();
    return registration?.active?.state === 'activated';
  });
}

/** The text an element shows from within, spaces put together. */
async function textIn(element: Locator): Promise<string> {
  return await element.evaluate((one) => one.shadowRoot!.textContent.replace(/\s+/g, ' ').trim());
}
