import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { messages } from './vite-messages.js';
import { packedCopies } from './vite-packed.js';
import { namedParts } from './vite-page.js';
import { travelParts } from './vite-parts.js';
import { shellList } from './vite-shell.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const travel = travelParts(
  [
    { name: 'base', root: '/src/main.ts' },
    // The words of a language come before any module that says some.
    { name: 'studio', root: '/src/open-studio.tsx' },
    { name: 'wall-map', root: '/src/wall/wall-map.ts' },
  ],
  ['/src/offline/service-worker.ts'],
);

export default defineConfig({
  root: here('.'),
  plugins: [
    messages(here('locales')),
    travel.plugin,
    namedParts({ screens: 'studio', later: ['wall-map', 'glass-layers'] }),
    shellList(here('public')),
    packedCopies(),
  ],
  resolve: { alias: [{ find: /^#libs\/([^/]+)$/, replacement: `${root}libs/$1/src/index.ts` }] },
  worker: { format: 'es' },
  build: {
    outDir: `${root}dist/apps/studio`,
    emptyOutDir: true,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      treeshake: {
        // Pure libs do nothing by being imported: of each door only what is used comes along.
        moduleSideEffects: [{ test: /\/libs\/[^/]+\/src\/|clipper2-ts/, sideEffects: false }],
      },
      input: { index: here('index.html'), 'service-worker': here('src/offline/service-worker.ts') },
      output: {
        codeSplitting: { groups: travel.groups },
        // a service worker's address must never change: browsers compare what lies there
        entryFileNames: ({ name }) =>
          name === 'service-worker' ? 'service-worker.js' : 'assets/[name]-[hash].js',
      },
    },
  },
  // For work on the screens: `npx vite -c apps/studio/vite.config.ts` beside a running server.
  server: {
    host: '127.0.0.1',
    proxy: Object.fromEntries(
      ['/v1', '/iiif', '/first'].map((path) => [
        path,
        process.env['MULLION_URL'] ?? 'http://127.0.0.1:4173',
      ]),
    ),
  },
});
