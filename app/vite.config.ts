import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig, type IndexHtmlTransformContext, type Plugin } from 'vite';
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

type Bundle = NonNullable<IndexHtmlTransformContext['bundle']>;

/** The files of the page's own code: that of its screens, and what it is made of in turn. */
function codeOf(bundle: Bundle): string[] {
  const whole = new Set<string>();
  const add = (file: string): void => {
    const part = bundle[file];
    if (part?.type !== 'chunk' || part.isEntry || whole.has(file)) return;
    whole.add(file);
    part.imports.forEach(add);
  };
  for (const part of Object.values(bundle)) {
    const isPage = part.type === 'chunk' && part.facadeModuleId?.endsWith('/src/page.tsx') === true;
    if (isPage) add(part.fileName);
  }
  return [...whole];
}

const lettersOf = (bundle: Bundle): string[] =>
  Object.keys(bundle).filter((file) => /latin-wght-normal-[^.]*\.woff2$/.test(file));

const early = (attrs: Readonly<Record<string, string>>) => (file: string) => ({
  tag: 'link',
  attrs: { ...attrs, crossorigin: true, href: `/${file}` },
  injectTo: 'head' as const,
});

// The screens and their letters are fetched beside the small file that asks for them, not after it.
const fetchEarly = (): Plugin => ({
  name: 'fairbed-fetch-early',
  apply: 'build',
  transformIndexHtml: {
    order: 'post',
    handler: (_html, { bundle = {} }) => [
      ...codeOf(bundle).map(early({ rel: 'modulepreload' })),
      ...lettersOf(bundle).map(early({ rel: 'preload', as: 'font' })),
    ],
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
        // The page of the first visit too is served from what was stored: who opens Fairbed at home
        // and walks into the garden does not load it anew.
        clientsClaim: true,
        globPatterns: ['**/*.{js,css,html,svg,png,woff2,json,wasm}'],
        // An address with a file ending is a file, never the page.
        navigateFallbackDenylist: [/\.[a-z0-9]+$/i],
      },
    }),
  ],
});
