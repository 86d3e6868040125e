/**
 * A browser for the journeys: an installed Chrome, Chromium or Edge, or on Debian as root the
 * system's own package. Run by itself it prepares a new machine before the tests.
 */
import { spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync, readFileSync, statSync } from 'node:fs';
import { delimiter, join, win32 } from 'node:path';
import { pathToFileURL } from 'node:url';

const NAMES = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'chrome',
  'microsoft-edge',
  'microsoft-edge-stable',
  'msedge',
];

const APPLICATIONS = [
  'Google Chrome.app/Contents/MacOS/Google Chrome',
  'Chromium.app/Contents/MacOS/Chromium',
  'Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
];

const PROGRAMS = [
  ['Google', 'Chrome', 'Application', 'chrome.exe'],
  ['Chromium', 'Application', 'chrome.exe'],
  ['Microsoft', 'Edge', 'Application', 'msedge.exe'],
];

/** What the search depends on, so that it can be tried for a system other than this one. */
export interface Machine {
  readonly platform: NodeJS.Platform;
  readonly env: Readonly<Record<string, string | undefined>>;
  isProgram(path: string): boolean;
}

const thisMachine: Machine = {
  platform: process.platform,
  env: process.env,
  isProgram(path) {
    try {
      accessSync(path, constants.X_OK);
      return statSync(path).isFile();
    } catch {
      return false;
    }
  },
};

/** Path of a browser, CHROME_PATH first; undefined when there is none. */
export function findBrowser(machine: Machine = thisMachine): string | undefined {
  const { env, platform } = machine;
  const chosen = env['CHROME_PATH'];
  if (chosen) {
    if (machine.isProgram(chosen)) return chosen;
    throw new Error(`CHROME_PATH names ${chosen}, and there is no program there.`);
  }
  return places(env, platform).find((path) => machine.isProgram(path));
}

function places(env: Machine['env'], platform: NodeJS.Platform): string[] {
  if (platform === 'win32') {
    const roots = [env['PROGRAMFILES'], env['PROGRAMFILES(X86)'], env['LOCALAPPDATA']];
    return roots.flatMap((root) =>
      root ? PROGRAMS.map((parts) => win32.join(root, ...parts)) : [],
    );
  }
  const onPath = (env['PATH'] ?? '')
    .split(delimiter)
    .filter((folder) => folder !== '')
    .flatMap((folder) => NAMES.map((name) => join(folder, name)));
  if (platform === 'darwin') {
    const roots = ['/Applications', join(env['HOME'] ?? '', 'Applications')];
    return [...roots.flatMap((root) => APPLICATIONS.map((app) => join(root, app))), ...onPath];
  }
  const usual = ['/usr/bin', '/usr/local/bin', '/snap/bin', '/opt/google/chrome'];
  return [...onPath, ...usual.flatMap((folder) => NAMES.map((name) => join(folder, name)))];
}

/** The browser's path; installs Debian's package where that can be done without asking. */
export function ensureBrowser(): string {
  const found = findBrowser();
  if (found) return found;
  if (isDebian() && process.getuid?.() === 0) {
    apt('update');
    apt('install', '--yes', '--no-install-recommends', 'chromium', 'fonts-liberation');
    const installed = findBrowser();
    if (installed) return installed;
  }
  throw new Error(
    'The journeys need Chrome, Chromium or Edge, and none was found. Install one ' +
      '(on Debian or Ubuntu: sudo apt-get install chromium), or name it in CHROME_PATH.',
  );
}

function isDebian(): boolean {
  const release = '/etc/os-release';
  return existsSync(release) && /^ID(_LIKE)?=.*debian/m.test(readFileSync(release, 'utf8'));
}

function apt(...words: string[]): void {
  const { status } = spawnSync('apt-get', ['--quiet', ...words], {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  });
  if (status !== 0) throw new Error(`apt-get ${words.join(' ')} did not succeed.`);
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  try {
    console.log(`Browser for the journeys: ${ensureBrowser()}`);
  } catch (error) {
    console.error((error as Error).message);
    process.exitCode = 1;
  }
}
