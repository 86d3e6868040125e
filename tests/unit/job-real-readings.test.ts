/** Every reading that the samples give can be kept: the record's limits fit what is really read. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { nodeOpenCv } from '../../src/headless/opencv.ts';
import { loadPhoto } from '../../src/headless/photo.ts';
import { parseReadRequest } from '../../src/headless/read-request.ts';
import { attachmentFaults } from '../../src/job/attachments.ts';
import { readingMask, readingRecord } from '../../src/job/reading-record.ts';
import { parseRecord } from '../../src/job/records.ts';
import { read } from '../../src/reading/read.ts';
import { DEFAULT_SETTINGS } from '../../src/reading/settings.ts';

interface Sample {
  readonly file: string;
  readonly request: object;
}
const list = new URL('../../calibration-samples/truth.json', import.meta.url);
const samples = JSON.parse(readFileSync(list, 'utf8')) as readonly Sample[];

describe('the reading of a sample, when there is one, is a whole record', () => {
  const kept: string[] = [];
  test.each(samples)('$file', async ({ request, file }) => {
    const { photo, regions, tileColour } = parseReadRequest(request);
    const { picture } = await loadPhoto(photo);
    const result = read(nodeOpenCv(), picture, regions, { ...DEFAULT_SETTINGS, tileColour });
    if (!result.ok) return;
    kept.push(file);
    const record = readingRecord(result, {
      id: 'reading/J/P/A/R',
      at: new Date('2026-03-02T10:00:00.000Z'),
      film: 'wet',
      source: 'photo',
      cameraLabel: file,
      cameraSettings: {},
      lamp: '',
      picture,
      tile: { name: 'tile', ...tileColour },
      thresholds: DEFAULT_SETTINGS.thresholds,
      regions,
    });
    expect(parseRecord(JSON.parse(JSON.stringify(record)))).toEqual({ ok: true, record });
    expect(attachmentFaults(record, readingMask(result))).toEqual([]);
    const { crop, mask } = record.evidence;
    expect(crop.x + crop.width).toBeLessThanOrEqual(picture.width);
    expect(crop.y + crop.height).toBeLessThanOrEqual(picture.height);
    // Only a dab beside the piece is read without a ring, and so without a mask.
    expect(mask === undefined).toBe(regions.dabOn === 'tile');
  });
  test('and most samples have one', () => {
    expect(kept.length).toBeGreaterThan(samples.length / 2);
  });
});
