/** Jobs kept in order: search, edit, delete and undo, photographs, the second of the pair, two windows. */
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { BenchPage, SIZES } from './bench-page.ts';
import { openBrowser, serveApp, type Journey, type Served } from './browser.ts';

let served: Served;
let journey: Journey;
let bench: BenchPage;

beforeAll(async () => {
  served = await serveApp();
  journey = await openBrowser({ camera: 'none', size: SIZES.tablet });
  bench = new BenchPage(journey.page, served.address);
  await bench.open();
  await bench.read();
  await bench.save();
});
afterAll(async () => {
  expect(journey.complaints).toEqual([]);
  await journey.close();
  await served.close();
});

const toJobs = async (page = journey.page) => {
  await page.getByRole('link', { name: 'Jobs' }).click();
  await page.locator('lt-jobs .area').first().waitFor();
};
const sheetGone = () => journey.page.locator('lt-sheet[open]').waitFor({ state: 'detached' });
const jobTitles = () => journey.page.locator('lt-jobs h3').allInnerTexts();
const photograph = async (width: number, height: number, background: string) => ({
  name: 'piece.jpg',
  mimeType: 'image/jpeg',
  buffer: await sharp({ create: { width, height, channels: 3, background } })
    .jpeg()
    .toBuffer(),
});

test('a job is edited, and the edit taken back', async () => {
  const { page } = journey;
  await toJobs();
  await bench.button(/Edit the job/).click();
  await page.getByLabel('Title').fill('Dresser by the north window');
  await page.getByLabel('Lamp').fill('daylight tube, 60 cm');
  await bench.button('Keep').click();
  await sheetGone();
  await expect.poll(jobTitles).toEqual(['Dresser by the north window']);
  expect(await page.locator('lt-jobs .panel').innerText()).toContain('lamp: daylight tube, 60 cm');
  await bench.button('Undo').click();
  await expect.poll(jobTitles).toEqual(['Demo: the Sollwick dresser']);
  expect(await page.locator('lt-jobs .panel').innerText()).not.toContain('daylight tube');
});

test('what cannot be kept leaves the sheet open with what was typed', async () => {
  const { page } = journey;
  await bench.button(/Edit the job/).click();
  await page.getByLabel('Title').fill(' ');
  await page.getByLabel('Notes', { exact: true }).fill('a note that must not be lost');
  await bench.button('Keep').click();
  await page.getByText(/title of the job: must not be empty/).waitFor();
  expect(await page.getByLabel('Notes', { exact: true }).inputValue()).toBe(
    'a note that must not be lost',
  );
  // A slip beside the sheet does not close it over what was typed; the person says so.
  await page.mouse.click(3, 3);
  await page.getByText('What you typed here is not kept yet.').waitFor();
  await bench.button('Go on typing').click();
  expect(await page.getByLabel('Notes', { exact: true }).inputValue()).toBe(
    'a note that must not be lost',
  );
  await page.keyboard.press('Escape');
  await bench.button('Close without keeping it').click();
  await page.locator('lt-sheet[open]').waitFor({ state: 'detached' });
  await sheetGone();
});

test('photographs before and after, with caption and date, stand in the record', async () => {
  const { page } = journey;
  await page.getByRole('link', { name: 'Record' }).click();
  await page.getByText('photograph before treatment').waitFor();
  await page.getByLabel(/photographs, before/).setInputFiles(await photograph(640, 480, '#887766'));
  await page.getByText('1 photograph is kept.').waitFor();
  // Larger than a record needs: kept smaller.
  await page
    .getByLabel(/photographs, after/)
    .setInputFiles(await photograph(5000, 2500, '#778899'));
  await expect.poll(() => page.locator('lt-photographs img').count()).toBe(2);
  await bench
    .button(/no caption/)
    .first()
    .click();
  await page.getByLabel('Caption').fill('The chip, filled');
  await page.getByLabel('Date taken').fill('2026-03-01');
  await page.getByLabel('Shows').selectOption({ label: 'ground' });
  await bench.button('Keep').click();
  await sheetGone();
  const paper = page.locator('.sheet-of-paper');
  await expect.poll(() => paper.innerText()).toContain('The chip, filled, ground, Mar 1, 2026');
  await expect.poll(() => paper.locator('figure img').count()).toBe(2);
  const widths = await paper
    .locator('figure img')
    .evaluateAll((all) => all.map((img) => (img as HTMLImageElement).naturalWidth));
  expect(widths).toEqual([640, 3500]);
  expect(await page.getByText('photograph before treatment').count()).toBe(0);
});

test('what is no picture is refused by name, and nothing is kept of it', async () => {
  const { page } = journey;
  const buffer = Buffer.from('a list of glazes');
  await page
    .getByLabel(/photographs, during/)
    .setInputFiles({ name: 'list.jpg', mimeType: 'image/jpeg', buffer });
  await page.getByText('list.jpg is not a photograph').waitFor();
  expect(await page.locator('lt-photographs img').count()).toBe(2);
});

test('a photograph is deleted, and brought back', async () => {
  const { page } = journey;
  await bench.button(/The chip, filled/).click();
  await bench.button('Delete this photograph').click();
  await expect.poll(() => page.locator('lt-photographs img').count()).toBe(1);
  await bench.button('Undo').click();
  await expect.poll(() => page.locator('lt-photographs img').count()).toBe(2);
});

test('materials are written by name, use and quantity; one without a name is asked for it', async () => {
  const { page } = journey;
  await bench.button('Write').click();
  await page.getByLabel('Used for').fill('fill');
  await bench.button('Keep').click();
  await page.getByText('A material has no name').waitFor();
  await page.getByLabel('What', { exact: true }).fill('epoxy putty');
  await page.getByLabel('How much').fill('about 2 g');
  await bench.button('Another material').click();
  await page.getByLabel('What', { exact: true }).last().fill('acrylic clear medium');
  await bench.button('Keep').click();
  await sheetGone();
  const paper = page.locator('.sheet-of-paper');
  await expect.poll(() => paper.innerText()).toContain('epoxy putty, fill, about 2 g');
  expect(await paper.innerText()).toContain('acrylic clear medium');
});

test('the second of the pair starts from the glaze and the mix of the first', async () => {
  const { page } = journey;
  const pot = await (async () => {
    await page.getByRole('link', { name: 'Bench' }).click();
    return await bench.pot.innerText();
  })();
  await toJobs();
  await bench.button('Edit the area ground').click();
  await bench.button('Match this area again').click();
  // Which mix, and how near it came: said before anything is made.
  await page.getByText(/starts from\s+the mix of attempt \d+, the .*: ΔE₀₀ \d+\.\d/).waitFor();
  await bench.button('Make it and go').click();
  await page.getByText('Give the new piece a name').waitFor();
  await page.getByLabel('Name of the new piece').fill('Butter dish, its fellow');
  await bench.button('Make it and go').click();
  await page.locator('lt-bench').waitFor();
  await page.getByRole('heading', { name: 'Butter dish, its fellow', level: 1 }).waitFor();
  expect(await bench.pot.innerText()).toBe(pot);
  await bench.read();
  await bench.save();
  await bench.pot.click();
  await page.getByText(/^From area “ground”: the mix of attempt/).waitFor();
  await page.getByRole('link', { name: 'Record of what it must match' }).waitFor();
  await toJobs();
  await page.getByRole('link', { name: 'matches Covered butter dish, ground: its record' }).click();
  const paper = page.locator('.sheet-of-paper');
  await paper.getByRole('heading', { name: 'Covered butter dish' }).waitFor();
  await toJobs();
});

test('search finds by piece and by note, and says when nothing is found', async () => {
  const { page } = journey;
  const search = page.getByRole('searchbox');
  await search.fill('fellow');
  await expect
    .poll(() => page.locator('lt-jobs h4').allInnerTexts())
    .toEqual(['Butter dish, its fellow']);
  await search.fill('invented job try');
  await expect.poll(() => page.locator('lt-jobs h4').count()).toBe(2);
  await search.fill('teapot');
  await page.getByText('Nothing here matches the search.').waitFor();
  await search.fill('');
});

test('a second window sees what the first keeps, and edits of both stand', async () => {
  const { page } = journey;
  const second = await journey.context.newPage();
  await new BenchPage(second, served.address).open();
  await toJobs(second);
  await second.getByRole('button', { name: /Edit the job/ }).click();
  await second.getByLabel('Notes', { exact: true }).fill('noted in the second window');
  // The first window changes another field while the second one writes.
  await bench.button(/Edit the job/).click();
  await page.getByLabel('Lamp').fill('north light');
  await bench.button('Keep').click();
  await sheetGone();
  await second.getByRole('button', { name: 'Keep' }).click();
  await page.getByText('noted in the second window').waitFor();
  await page.getByText('lamp: north light').waitFor();
  await second.getByText('lamp: north light').waitFor();
  await second.close();
});

test('a deleted job is brought back by undo; emptied from the bin it is gone for good', async () => {
  const { page } = journey;
  const remove = async () => {
    await bench.button(/Edit the job/).click();
    await bench.button('Delete this job').click();
    await page.getByText('Deleted: job').waitFor();
  };
  await remove();
  await expect.poll(jobTitles).toEqual([]);
  await bench.button('Undo').click();
  await expect.poll(jobTitles).toEqual(['Demo: the Sollwick dresser']);
  await expect.poll(() => page.locator('lt-jobs .area').count()).toBe(2);

  await remove();
  await page.reload();
  await page.getByRole('button', { name: /^Deleted/ }).click();
  await page.getByText('job “Demo: the Sollwick dresser”').waitFor();
  await bench.button('Delete for good, to free space').click();
  await bench.button('Yes, delete all of it for good').click();
  await sheetGone();
  await expect.poll(() => page.getByRole('button', { name: /^Deleted/ }).count()).toBe(0);
});
