/**
 * Bundles the program of verify.html into one script and prints it: run as a program of its own,
 * so that neither a server nor a test carries the bundler.
 *
 * Not minified: a later reader may want to read it.
 */

import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

// Built code stands beside this file as .js, source as .ts.
const compiled = fileURLToPath(new URL('./main.js', import.meta.url));
const suffix = existsSync(compiled) ? 'js' : 'ts';
const libs = fileURLToPath(new URL('../../../', import.meta.url));

const output = await build({
  configFile: false,
  logLevel: 'silent',
  root: libs,
  resolve: {
    alias: [{ find: /^#libs\/([^/]+)$/, replacement: `${libs}$1/src/index.${suffix}` }],
  },
  build: {
    write: false,
    minify: false,
    target: 'es2022',
    lib: {
      entry: fileURLToPath(new URL(`./main.${suffix}`, import.meta.url)),
      formats: ['iife'],
      name: 'verifyPage',
      fileName: 'verify-page',
    },
  },
});
const first = Array.isArray(output) ? output[0] : output;
const chunk = first !== undefined && 'output' in first ? first.output[0] : undefined;
if (chunk === undefined) throw new Error('the program of verify.html could not be bundled');
// A script element ends at the first such tag, even inside a string.
process.stdout.write(chunk.code.replace(/<\/(script)/gi, '<\\/$1'));
