/// <reference types="vitest/config" />
import { defineConfig } from 'vite';
import { opencvPlugin } from './workers/opencv-plugin.ts';
import { policyPlugin } from './workers/policy-plugin.ts';

// `npm start` opens a browser; where there is no desktop the printed address has to do.
const { platform, env } = process;
if (platform === 'linux' && !env['DISPLAY'] && !env['WAYLAND_DISPLAY']) env['BROWSER'] ??= 'none';

export default defineConfig({
  plugins: [opencvPlugin(), policyPlugin()],
  worker: { format: 'es', plugins: () => [opencvPlugin()] },
  optimizeDeps: { exclude: ['opencv-wasm'] },
  build: { target: 'es2022', chunkSizeWarningLimit: 900 },
  server: { host: '127.0.0.1', port: 5173 },
  // Jobs are kept by address: on another port they would seem to be gone.
  preview: { host: '127.0.0.1', port: 4173, strictPort: true },
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 30_000,
    server: { deps: { inline: ['opencv-wasm'] } },
  },
});
