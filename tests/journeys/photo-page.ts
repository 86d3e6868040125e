/** The page of `page/` with photographs brought to it, one after another. */
import { openBrowser, serveWorkerPage, type Journey } from './browser.ts';

export interface PhotoPage {
  readonly journey: Journey;
  readonly opened: (bytes: Uint8Array | Buffer, name: string) => ReturnType<typeof opened>;
  close(): Promise<void>;
}

export async function openPhotoPage(): Promise<PhotoPage> {
  const served = await serveWorkerPage();
  const journey = await openBrowser({ camera: 'none' });
  await journey.page.goto(served.address);
  await journey.page.waitForFunction(() => 'tools' in window);
  return {
    journey,
    opened: (bytes, name) => opened(journey, bytes, name),
    async close() {
      await journey.close();
      await served.close();
    },
  };
}

/** What the browser makes of it; the codes come back as text, which costs least. */
async function opened({ page }: Journey, bytes: Uint8Array | Buffer, name: string) {
  const photo = await page.evaluate(
    async ({ base64, name }) => {
      const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      const started = performance.now();
      const photo = await window.tools.photoFromFile(new File([bytes], name));
      const tookMs = performance.now() - started;
      if (!photo.ok) return photo;
      const { width, height, rgba, maxCode, light } = photo.picture;
      let codes = '';
      const all = new Uint8Array(rgba.buffer, rgba.byteOffset, rgba.byteLength);
      for (let at = 0; at < all.length; at += 8192) {
        codes += String.fromCharCode(...all.subarray(at, at + 8192));
      }
      const likeness = photo.likeness && (await createImageBitmap(photo.likeness));
      const shown = likeness && { width: likeness.width, height: likeness.height };
      const { bits, notes, exposure } = photo;
      return {
        ok: true as const,
        ...{ width, height, maxCode, light, bits, notes, exposure, shown, tookMs },
        codes: btoa(codes),
      };
    },
    { base64: Buffer.from(bytes).toString('base64'), name },
  );
  if (!photo.ok) return photo;
  const raw = Uint8Array.from(Buffer.from(photo.codes, 'base64'));
  return { ...photo, rgba: photo.maxCode === 255 ? raw : new Uint16Array(raw.buffer) };
}
