/**
 * The installed app: its manifest, and the service worker that keeps every file of it after the
 * first visit. A new version waits until the person takes it (src/ui/state/version.ts).
 */
import type { PluginOption } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';

export function offlinePlugin(): PluginOption {
  return VitePWA({
    registerType: 'prompt',
    // The page registers it by itself, after the first view.
    injectRegister: false,
    manifest: {
      id: '/',
      name: 'Lamp & Tile',
      short_name: 'Lamp & Tile',
      description: 'Colour readings and the next touch of paint for ceramics restorers.',
      lang: 'en',
      start_url: '/',
      scope: '/',
      display: 'standalone',
      background_color: '#777777',
      theme_color: '#2a2a2a',
      icons: [
        { src: '/icon.svg', sizes: 'any', type: 'image/svg+xml' },
        { src: '/icons/icon-192.png', sizes: '192x192', type: 'image/png' },
        { src: '/icons/icon-512.png', sizes: '512x512', type: 'image/png' },
        {
          src: '/icons/maskable-512.png',
          sizes: '512x512',
          type: 'image/png',
          purpose: 'maskable',
        },
      ],
    },
    workbox: {
      globPatterns: ['**/*.{js,css,html,svg,png,wasm,json}'],
      // Pictures of the README.
      globIgnores: ['pictures/**'],
      // OpenCV alone is seven megabytes.
      maximumFileSizeToCacheInBytes: 16 * 2 ** 20,
      dontCacheBustURLsMatching: /^assets\//,
      cleanupOutdatedCaches: true,
      // A window of the version before finds here what this one no longer has (state/old-files.ts).
      runtimeCaching: [
        {
          urlPattern: ({ url, sameOrigin }) => sameOrigin && url.pathname.startsWith('/assets/'),
          handler: 'CacheFirst',
          options: {
            cacheName: 'files-of-a-version-before',
            // Only pages put anything there: a server may answer a missing file with a page.
            plugins: [{ cacheWillUpdate: () => Promise.resolve(null) }],
          },
        },
      ],
      inlineWorkboxRuntime: true,
      sourcemap: false,
    },
  });
}
