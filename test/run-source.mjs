// node --import ./test/run-source.mjs x.ts — runs TypeScript sources without a build, for tests that
// start processes of their own. `./y.js` finds y.ts, `#libs/x` finds the lib's door.
import { existsSync, readFileSync } from 'node:fs';
import { registerHooks } from 'node:module';
import { fileURLToPath } from 'node:url';
import { transformSync } from '@swc/core';
import { stripTypes } from '../tools/strip-types.mjs';

const root = new URL('..', import.meta.url);
const options = { ...stripTypes, sourceMaps: 'inline' };

registerHooks({
  resolve(specifier, context, next) {
    if (specifier.startsWith('#libs/')) {
      const url = new URL(`libs/${specifier.slice('#libs/'.length)}/src/index.ts`, root);
      return { url: url.href, shortCircuit: true };
    }
    if (/^\.{1,2}\/.*\.js$/.test(specifier) && context.parentURL?.startsWith(root.href)) {
      const source = new URL(specifier.replace(/\.js$/, '.ts'), context.parentURL);
      if (existsSync(source)) return { url: source.href, shortCircuit: true };
    }
    return next(specifier, context);
  },
  load(url, context, next) {
    if (!url.startsWith(root.href) || !url.endsWith('.ts') || url.includes('/node_modules/')) {
      return next(url, context);
    }
    const path = fileURLToPath(url);
    const { code } = transformSync(readFileSync(path, 'utf8'), { ...options, filename: path });
    return { format: 'module', source: code, shortCircuit: true };
  },
});
