/// <reference types="vite/client" />
/// <reference types="vite-plugin-pwa/client" />

declare const __FAIRBED_VERSION__: string;
