import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  plugins: [react()],
  resolve: { alias: [{ find: /^#libs\/([^/]+)$/, replacement: `${root}libs/$1/src/index.ts` }] },
  build: { outDir: `${root}dist/apps/studio`, emptyOutDir: true },
});
