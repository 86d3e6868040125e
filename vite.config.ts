/// <reference types="vitest/config" />
import { defineConfig } from 'vite';
import { opencvPlugin } from './workers/opencv-plugin.ts';

export default defineConfig({
  plugins: [opencvPlugin()],
  worker: { format: 'es', plugins: () => [opencvPlugin()] },
  optimizeDeps: { exclude: ['opencv-wasm'] },
  build: { target: 'es2022', chunkSizeWarningLimit: 900 },
  server: { host: '127.0.0.1', port: 5173 },
  preview: { host: '127.0.0.1', port: 4173 },
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 30_000,
    server: { deps: { inline: ['opencv-wasm'] } },
  },
});
