import { describe, expect, test } from 'vitest';
import { findBrowser, type Machine } from '../journeys/ensure-browser.ts';

const machine = (
  platform: NodeJS.Platform,
  env: Record<string, string>,
  programs: readonly string[],
): Machine => ({ platform, env, isProgram: (path) => programs.includes(path) });

// Where the installers of these browsers put them: common practice, no source.
describe('a browser is found where it is', () => {
  test.each([
    ['linux', { PATH: '/home/x/bin:/usr/bin' }, '/usr/bin/chromium'],
    ['linux', { PATH: '' }, '/usr/bin/google-chrome-stable'],
    ['linux', { PATH: '/opt/tools' }, '/snap/bin/chromium'],
    [
      'darwin',
      { HOME: '/Users/x' },
      '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    ],
    ['darwin', { HOME: '/Users/x' }, '/Users/x/Applications/Chromium.app/Contents/MacOS/Chromium'],
    [
      'win32',
      { PROGRAMFILES: 'C:\\Program Files' },
      'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
    ],
    [
      'win32',
      { 'PROGRAMFILES(X86)': 'C:\\Program Files (x86)' },
      'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
    ],
  ] as const)('%s %j', (platform, env, path) => {
    expect(findBrowser(machine(platform, env, [path]))).toBe(path);
  });

  test('the one that CHROME_PATH names comes first', () => {
    const env = { PATH: '/usr/bin', CHROME_PATH: '/opt/mine' };
    expect(findBrowser(machine('linux', env, ['/usr/bin/chromium', '/opt/mine']))).toBe(
      '/opt/mine',
    );
  });

  test('a CHROME_PATH that names nothing is said, not passed over', () => {
    const env = { PATH: '/usr/bin', CHROME_PATH: '/opt/gone' };
    expect(() => findBrowser(machine('linux', env, ['/usr/bin/chromium']))).toThrow('/opt/gone');
  });

  test('none anywhere', () => {
    expect(findBrowser(machine('linux', { PATH: '/usr/bin' }, []))).toBeUndefined();
    expect(findBrowser(machine('win32', {}, []))).toBeUndefined();
  });
});
