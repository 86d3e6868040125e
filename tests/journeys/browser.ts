/** What every journey needs: the built pages served on a free loopback port, and a browser on them. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { build, preview } from 'vite';
import { ensureBrowser } from './ensure-browser.ts';

const ROOT = resolve(import.meta.dirname, '../..');
/** The built app; APP_DIST names another build of it. */
export const APP = resolve(ROOT, process.env['APP_DIST'] ?? 'dist');
const WORKER_PAGE = join(ROOT, '.cache/journeys/page');

export interface Served {
  /** With a slash at its end. */
  readonly address: string;
  close(): Promise<void>;
}

/** The app as `vite build` left it; built first when it is not there. */
export async function serveApp(): Promise<Served> {
  if (!existsSync(join(APP, 'index.html'))) await build({ root: ROOT, logLevel: 'warn' });
  return await serve(APP, '');
}

/** The page of `tests/journeys/page`, built like the app, for journeys below the screens. */
export async function serveWorkerPage(): Promise<Served> {
  const html = join(import.meta.dirname, 'page/index.html');
  await build({
    root: ROOT,
    logLevel: 'warn',
    build: { outDir: WORKER_PAGE, emptyOutDir: true, rolldownOptions: { input: html } },
  });
  return await serve(WORKER_PAGE, 'tests/journeys/page/');
}

/** Built pages from any folder; on a port of before, it is the same place to the browser. */
export async function serveFolder(outDir: string, port = 0): Promise<Served> {
  return await serve(outDir, '', port);
}

async function serve(outDir: string, path: string, wantedPort = 0): Promise<Served> {
  const server = await preview({
    root: ROOT,
    logLevel: 'warn',
    build: { outDir },
    preview: { host: '127.0.0.1', port: wantedPort, strictPort: wantedPort > 0, open: false },
  });
  const address = server.httpServer.address();
  if (address === null || typeof address === 'string') throw new Error('the server has no port');
  return {
    address: `http://127.0.0.1:${address.port}/${path}`,
    close: () => server.close(),
  };
}

export interface BrowserWishes {
  /** A y4m file that plays in a loop; 'pattern' for the browser's own; 'none' for no camera at all. */
  readonly camera?: { readonly file: string } | 'pattern' | 'none';
  /** What the person answers when asked for the camera. */
  readonly answer?: 'allow' | 'deny';
  readonly size?: { readonly width: number; readonly height: number };
  /** Room on the disk as it is: else Chromium reports used space plus a round number. */
  readonly trueQuota?: boolean;
  /** A folder that outlives the browser, to come back to the same jobs tomorrow. */
  readonly profile?: string;
}

export interface Journey {
  readonly context: BrowserContext;
  readonly page: Page;
  /** Errors the page threw, complained of on its console, or its policy forbade. */
  readonly complaints: readonly string[];
  close(): Promise<void>;
}

export async function openBrowser(wishes: BrowserWishes = {}): Promise<Journey> {
  const profile = wishes.profile ?? mkdtempSync(join(tmpdir(), 'lamp-and-tile-'));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: ensureBrowser(),
    headless: true,
    // The words and numbers that are expected are English, whatever this machine speaks.
    locale: 'en-US',
    viewport: wishes.size ?? { width: 1280, height: 800 },
    args: flags(wishes),
  });
  // A loaded machine may need several times as long as an idle one.
  context.setDefaultTimeout(60_000);
  const page = context.pages()[0] ?? (await context.newPage());
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() !== 'error') return;
    // A frame that the browser itself still held when its stream was cut off.
    if (message.text().startsWith('A VideoFrame was garbage collected')) return;
    complaints.push(message.text());
  });
  return {
    context,
    page,
    complaints,
    async close() {
      await context.close();
      if (wishes.profile === undefined) {
        rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
      }
    },
  };
}

function flags({ camera = 'pattern', answer = 'allow', trueQuota }: BrowserWishes): string[] {
  const list = [
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ];
  if (trueQuota) list.push('--disable-features=StaticStorageQuota');
  // The browser's own sandbox does not start for root.
  if (process.getuid?.() === 0) list.push('--no-sandbox');
  list.push(answer === 'allow' ? '--use-fake-ui-for-media-stream' : '--deny-permission-prompts');
  if (camera !== 'none') list.push('--use-fake-device-for-media-stream');
  if (typeof camera === 'object') list.push(`--use-file-for-fake-video-capture=${camera.file}`);
  return list;
}
