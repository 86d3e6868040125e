/** The same by photograph; and what is no photograph leaves the bench as it was. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';
import { photographOf, renderedFilm } from './rendered.ts';

const film = renderedFilm();
const { dab, glaze } = film.truth.regions;
const truth = film.truth.difference.deltaE00;

let served: Served;
let journey: Journey;
let bench: BenchPage;
let photograph: Awaited<ReturnType<typeof photographOf>>;

beforeAll(async () => {
  photograph = await photographOf(film);
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.phone });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
});

afterAll(async () => {
  await journey.close();
  await served.close();
});

test('a photograph is read to within 0.6 ΔE₀₀ of the truth, and saved', async () => {
  await bench.openPhoto(photograph);
  await journey.page.getByText('Tap the dab in the picture.').waitFor();
  await bench.tap(film, dab);
  await bench.tap(film, glaze);
  await bench.read();
  const { value, interval } = await bench.difference();
  console.log(`photograph: ${value} (${interval.join(' to ')}), truth ${truth.toFixed(2)}`);
  expect(Math.abs(value - truth)).toBeLessThan(0.6);
  await bench.save();
  const saved = await bench.attempts();
  await journey.page.reload();
  await expect.poll(() => bench.attempts()).toEqual(saved);
  expect(saved).toHaveLength(1);
});

const dropped = async (type: 'drop' | 'paste', bytes: Buffer, name: string) => {
  await journey.page.evaluate(
    ({ type, base64, name }) => {
      const transfer = new DataTransfer();
      const content = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      transfer.items.add(new File([content], name, { type: 'image/png' }));
      const deep = (selector: string) =>
        document
          .querySelector('lt-app')!
          .shadowRoot!.querySelector('lt-bench')!
          .shadowRoot!.querySelector(selector)!;
      if (type === 'drop') {
        deep('.see').dispatchEvent(
          new DragEvent('drop', {
            dataTransfer: transfer,
            bubbles: true,
            composed: true,
            cancelable: true,
          }),
        );
      } else {
        window.dispatchEvent(
          new ClipboardEvent('paste', { clipboardData: transfer, cancelable: true }),
        );
      }
    },
    { type, base64: bytes.toString('base64'), name },
  );
};

test.each(['drop', 'paste'] as const)('a photograph can be brought by %s', async (type) => {
  const name = `by-${type}.png`;
  await dropped(type, photograph.buffer, name);
  await journey.page.getByText(name).first().waitFor();
  await journey.page.getByText('Tap the dab in the picture.').waitFor();
});

test('half a photograph is named as such, and the picture before stays', async () => {
  const half = photograph.buffer.subarray(0, photograph.buffer.length / 2);
  await dropped('drop', half, 'half.png');
  await journey.page.getByRole('alert').filter({ hasText: 'half.png' }).waitFor();
  expect(await journey.page.getByText('by-paste.png').first().isVisible()).toBe(true);
  await bench.button('Close the message').click();
});

test('what is no picture at all is named as such', async () => {
  await dropped('drop', Buffer.from('a shopping list'), 'list.png');
  await journey.page.getByRole('alert').filter({ hasText: 'list.png' }).waitFor();
  await dropped('drop', Buffer.alloc(0), 'nothing.png');
  const alert = journey.page.getByRole('alert');
  await alert.filter({ hasText: 'nothing.png is empty' }).waitFor();
  await dropped('drop', Buffer.from('PK\x03\x04 and so on'), 'job.zip');
  await alert.filter({ hasText: 'A job’s file is opened under Jobs.' }).waitFor();
  expect(journey.complaints).toEqual([]);
});
