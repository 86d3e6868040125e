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

  /** Presses Read and waits until a reading is held. */
  async read(): Promise<void> {
    await this.page.getByRole('button', { name: /^Read/, disabled: false }).waitFor();
    await this.page.keyboard.press('r');
    await this.page.getByText('reading held').waitFor({ timeout: 60_000 });
  }

  /** Presses Save and waits until it is kept. */
  async save(): Promise<void> {
    // A key pressed while the bench is busy does nothing.
    await this.page.getByRole('button', { name: /^Save/, disabled: false }).waitFor();
    await this.page.keyboard.press('s');
    await this.button(/^Saved/).waitFor();
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

  /** The spoken names of the saved attempts. */
  async attempts(): Promise<string[]> {
    await this.page.locator('lt-attempts').waitFor();
    const buttons = this.page.locator('lt-attempts ol button');
    return await buttons.evaluateAll((all) => all.map((one) => one.getAttribute('aria-label')!));
  }
}

/** The text an element shows from within, spaces put together. */
async function textIn(element: Locator): Promise<string> {
  return await element.evaluate((one) => one.shadowRoot!.textContent.replace(/\s+/g, ' ').trim());
}
