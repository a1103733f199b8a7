// Lets Node run our TypeScript sources as they stand (types are stripped by Node itself): an import
// of './x.js' means './x.ts' beside it, and '#libs/x' the door of a library's sources.
import { existsSync } from 'node:fs';
import { registerHooks } from 'node:module';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

registerHooks({
  resolve(specifier, context, next) {
    const lib = /^#libs\/([^/]+)$/.exec(specifier)?.[1];
    if (lib !== undefined) {
      return next(pathToFileURL(`${root}libs/${lib}/src/index.ts`).href, context);
    }
    if (/^\.{1,2}\/.*\.js$/.test(specifier) && context.parentURL?.endsWith('.ts')) {
      const source = new URL(specifier.replace(/\.js$/, '.ts'), context.parentURL);
      if (existsSync(source)) return next(source.href, context);
    }
    return next(specifier, context);
  },
});
