/** `--lan`, tried on loopback: HTTPS by the kept certificate, and a page that may open a camera. */
import { X509Certificate } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { request } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { certificateFor } from '../../src/headless/certificate.ts';
import { serveLan, type LanServer } from '../../src/headless/lan.ts';
import { APP, serveApp } from './browser.ts';
import { ensureBrowser } from './ensure-browser.ts';

const HERE = '127.0.0.1';
let folder: string;
let lan: LanServer;

beforeAll(async () => {
  // Builds when nothing is built yet.
  await (await serveApp()).close();
  folder = mkdtempSync(join(tmpdir(), 'lamp-and-tile-https-'));
  lan = await serveLan({ folder, addresses: [HERE], host: HERE, port: 0, outDir: APP });
});
afterAll(async () => {
  await lan.close();
  rmSync(folder, { recursive: true, force: true });
});

test('a client that trusts the certificate reaches the app under the address', async () => {
  const ca = readFileSync(join(folder, 'certificate.pem'), 'utf8');
  const status = await new Promise((resolve, reject) => {
    request(lan.links[0]!, { ca }, ({ statusCode }) => resolve(statusCode))
      .on('error', reject)
      .end();
  });
  expect(status).toBe(200);
});

test('what is said names the address, the fingerprint and the warning, with a code to scan', () => {
  const said = lan.lines.join('\n');
  const { fingerprint256 } = new X509Certificate(
    readFileSync(join(folder, 'certificate.pem'), 'utf8'),
  );
  for (const part of [lan.links[0]!, fingerprint256, 'not private', 'Jobs stay on the device']) {
    expect(said).toContain(part);
  }
  expect(said).toMatch(/[▀▄█]{5}/);
});

test('the warning once passed, the page is secure: the camera can be asked for', async () => {
  const browser = await chromium.launch({
    executablePath: ensureBrowser(),
    args: [
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      '--use-fake-device-for-media-stream',
      '--use-fake-ui-for-media-stream',
    ],
  });
  try {
    const strict = await browser.newPage();
    await expect(strict.goto(lan.links[0]!)).rejects.toThrow(/ERR_CERT_AUTHORITY_INVALID/);
    const page = await browser.newPage({ ignoreHTTPSErrors: true });
    await page.goto(lan.links[0]!);
    await page.locator('lt-bench').waitFor();
    const tracks = await page.evaluate(async () => {
      const stream = await navigator.mediaDevices.getUserMedia({ video: true });
      return [isSecureContext, stream.getVideoTracks().length];
    });
    expect(tracks).toEqual([true, 1]);
  } finally {
    await browser.close();
  }
});

describe('the certificate', () => {
  const at = (days: number) => new Date(Date.now() + days * 86_400_000);

  test('is the same at the next start, and for nobody else to read', async () => {
    const again = await certificateFor([HERE], folder);
    expect(again.cert).toBe(readFileSync(join(folder, 'certificate.pem'), 'utf8'));
    if (process.platform !== 'win32') {
      expect(statSync(join(folder, 'key.pem')).mode & 0o077).toBe(0);
    }
  });

  test('is made anew for another address, before it ends, and when it is damaged', async () => {
    const own = mkdtempSync(join(folder, 'own-'));
    const first = await certificateFor(['192.0.2.7'], own);
    expect(new X509Certificate(first.cert).checkIP('192.0.2.7')).toBe('192.0.2.7');
    const moved = await certificateFor(['192.0.2.8'], own);
    expect(new X509Certificate(moved.cert).checkIP('192.0.2.8')).toBe('192.0.2.8');
    const later = await certificateFor(['192.0.2.8'], own, at(360));
    expect(later.fingerprint).not.toBe(moved.fingerprint);
    writeFileSync(join(own, 'certificate.pem'), 'half a file');
    const mended = await certificateFor(['192.0.2.8'], own);
    expect(mended.fingerprint).not.toBe(later.fingerprint);
  });

  test('is valid for no longer than phones accept: 825 days (Apple, support document 103769)', async () => {
    const { cert } = await certificateFor([HERE], folder);
    const { validFrom, validTo } = new X509Certificate(cert);
    expect(Date.parse(validTo) - Date.parse(validFrom)).toBeLessThan(825 * 86_400_000);
  });
});
