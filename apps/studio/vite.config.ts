import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';
import { messages } from './vite-messages.js';
import { packedCopies } from './vite-packed.js';
import { shellList } from './vite-shell.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
export default defineConfig({
  root: here('.'),
  plugins: [messages(here('locales')), react(), shellList(here('public')), packedCopies()],
  resolve: { alias: [{ find: /^#libs\/([^/]+)$/, replacement: `${root}libs/$1/src/index.ts` }] },
  worker: { format: 'es' },
  build: {
    outDir: `${root}dist/apps/studio`,
    emptyOutDir: true,
    rolldownOptions: {
      treeshake: {
        // Pure libs do nothing by being imported: of each door only what is used comes along.
        moduleSideEffects: [{ test: /\/libs\/[^/]+\/src\/|clipper2-ts/, sideEffects: false }],
      },
      input: { index: here('index.html'), 'service-worker': here('src/offline/service-worker.ts') },
      output: {
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
      ['/v1', '/iiif'].map((path) => [path, process.env['MULLION_URL'] ?? 'http://127.0.0.1:4173']),
    ),
  },
});
