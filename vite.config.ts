/// <reference types="vitest/config" />
import { defineConfig } from 'vite';
import { offlinePlugin } from './workers/offline-plugin.ts';
import { opencvPlugin } from './workers/opencv-plugin.ts';
import { policyPlugin } from './workers/policy-plugin.ts';

// `npm start` opens a browser; where there is no desktop the printed address has to do.
const { platform, env } = process;
if (platform === 'linux' && !env['DISPLAY'] && !env['WAYLAND_DISPLAY']) env['BROWSER'] ??= 'none';

const BROWSER_TESTS = ['tests/journeys/**/*.test.ts'];

export default defineConfig({
  plugins: [opencvPlugin(), policyPlugin(), offlinePlugin()],
  worker: { format: 'es', plugins: () => [opencvPlugin()] },
  optimizeDeps: { exclude: ['opencv-wasm'] },
  build: { target: 'es2022', chunkSizeWarningLimit: 900 },
  server: { host: '127.0.0.1', port: 5173 },
  // Jobs are kept by address: on another port they would seem to be gone.
  preview: { host: '127.0.0.1', port: 4173, strictPort: true },
  test: {
    server: { deps: { inline: ['opencv-wasm'] } },
    projects: [
      {
        extends: true,
        test: {
          name: 'code',
          include: ['tests/**/*.test.ts'],
          exclude: BROWSER_TESTS,
          // For what never ends: a loaded machine takes several times as long as an idle one.
          testTimeout: 120_000,
          hookTimeout: 120_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        // After the rest and one by one: a browser that fights for the processor drops frames.
        extends: true,
        test: {
          name: 'browser',
          include: BROWSER_TESTS,
          fileParallelism: false,
          // A browser on a loaded machine takes longer still.
          testTimeout: 180_000,
          hookTimeout: 180_000,
          // Vitest's own second is shorter than a busy browser may take to draw.
          expect: { poll: { timeout: 60_000, interval: 100 } },
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
