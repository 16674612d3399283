import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));
const { version } = JSON.parse(readFileSync(here('./package.json'), 'utf8')) as { version: string };

// The page may talk to its own address only: what "nothing leaves this device" rests on. Left out
// in development, where the dev server injects scripts of its own.
const policy =
  "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; " +
  "object-src 'none'; base-uri 'none'; form-action 'none'";

const contentPolicy = (): Plugin => ({
  name: 'fairbed-content-policy',
  apply: 'build',
  transformIndexHtml: () => [
    {
      tag: 'meta',
      attrs: { 'http-equiv': 'Content-Security-Policy', content: policy },
      injectTo: 'head-prepend',
    },
  ],
});

const isWanted = (file: string, whole: string | null | undefined): boolean =>
  whole?.endsWith('/src/page.tsx') === true || /latin-wght-normal-[^.]*\.woff2$/.test(file);

// The screens and their letters are fetched beside the small file that asks for them, not after it.
const fetchEarly = (): Plugin => ({
  name: 'fairbed-fetch-early',
  apply: 'build',
  transformIndexHtml: {
    order: 'post',
    handler: (_html, { bundle = {} }) =>
      Object.values(bundle)
        .filter((part) =>
          isWanted(part.fileName, part.type === 'chunk' ? part.facadeModuleId : undefined),
        )
        .map(({ fileName, type }) => ({
          tag: 'link',
          attrs:
            type === 'chunk'
              ? { rel: 'modulepreload', crossorigin: true, href: `/${fileName}` }
              : { rel: 'preload', as: 'font', crossorigin: true, href: `/${fileName}` },
          injectTo: 'head' as const,
        })),
  },
});

export default defineConfig({
  root: here('.'),
  define: { __FAIRBED_VERSION__: JSON.stringify(version) },
  build: { outDir: here('./dist'), emptyOutDir: true, target: 'es2022' },
  worker: { format: 'es' },
  server: { fs: { allow: [here('..')] } },
  plugins: [
    react(),
    contentPolicy(),
    fetchEarly(),
    VitePWA({
      registerType: 'prompt',
      injectRegister: false,
      manifest: {
        name: 'Fairbed',
        short_name: 'Fairbed',
        description: 'Judge a side-by-side treatment trial against leaf disease.',
        lang: 'en-GB',
        display: 'standalone',
        start_url: '/',
        background_color: '#f5efe0',
        theme_color: '#f5efe0',
        icons: [
          { src: '/icon-192.png', sizes: '192x192', type: 'image/png' },
          { src: '/icon-512.png', sizes: '512x512', type: 'image/png' },
          { src: '/icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
        ],
      },
      workbox: {
        globPatterns: ['**/*.{js,css,html,svg,png,woff2,json,wasm}'],
        // An address with a file ending is a file, never the page.
        navigateFallbackDenylist: [/\.[a-z0-9]+$/i],
      },
    }),
  ],
});
