import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  plugins: [react()],
  resolve: { alias: [{ find: /^#libs\/([^/]+)$/, replacement: `${root}libs/$1/src/index.ts` }] },
  build: { outDir: `${root}dist/apps/studio`, emptyOutDir: true },
  // For work on the screens: `npx vite -c apps/studio/vite.config.ts` beside a running server.
  server: {
    host: '127.0.0.1',
    proxy: Object.fromEntries(
      ['/v1', '/iiif'].map((path) => [path, process.env['MULLION_URL'] ?? 'http://127.0.0.1:4173']),
    ),
  },
});
