/** Lays a gzipped copy beside each script and style of a build: the server hands it to whoever takes it. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Plugin } from 'vite';

/** Below this the answer's head is the larger part. */
const LEAST_BYTES = 500;

/** Only of files whose name carries their hash: what lies under another name may be changed on its own. */
export function packedCopies(): Plugin {
  return {
    name: 'packed-copies',
    apply: 'build',
    writeBundle({ dir }, bundle) {
      if (dir === undefined) throw new Error('the build has no folder');
      for (const [name, part] of Object.entries(bundle)) {
        if (!/^assets\/.*\.(?:js|css|wasm|svg)$/.test(name)) continue;
        const bytes = Buffer.from(part.type === 'chunk' ? part.code : part.source);
        if (bytes.length < LEAST_BYTES) continue;
        writeFileSync(join(dir, `${name}.gz`), gzipSync(bytes, { level: 9 }));
      }
    },
  };
}
