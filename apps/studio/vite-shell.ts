/** Puts the list of a build's files into its service worker. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import type { Plugin } from 'vite';

const WORKER = 'service-worker.js';

/** @param publicFolder files that are copied as they are */
export function shellList(publicFolder: string): Plugin {
  return {
    name: 'shell-list',
    enforce: 'post',
    apply: 'build',
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const hash = createHash('sha256');
        const files: string[] = [];
        for (const [name, part] of Object.entries(bundle).sort(([a], [b]) => (a < b ? -1 : 1))) {
          if (name === WORKER) continue;
          files.push(`/${name}`);
          hash.update(name).update(part.type === 'chunk' ? part.code : part.source);
        }
        for (const name of readdirSync(publicFolder).sort()) {
          files.push(`/${name}`);
          hash.update(name).update(readFileSync(`${publicFolder}/${name}`));
        }
        const worker = bundle[WORKER];
        if (worker?.type !== 'chunk') throw new Error('the build has no service worker');
        if (worker.imports.length > 0)
          throw new Error(
            `the service worker must stand alone, it imports ${worker.imports.join()}`,
          );
        const version = hash.update(worker.code).digest('hex').slice(0, 16);
        worker.code = `const SHELL = ${JSON.stringify({ version, files })};\n${worker.code}`;
      },
    },
  };
}
