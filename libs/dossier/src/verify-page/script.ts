/** The script of verify.html, bundled on first use (about a second) and kept for the process. */

import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

let script: Promise<string> | undefined;

export function verifyScript(): Promise<string> {
  script ??= bundled();
  return script;
}

async function bundled(): Promise<string> {
  const compiled = fileURLToPath(new URL('./bundle.js', import.meta.url));
  // From source (tests), Node runs the .ts file as it is: it has types to strip and nothing else.
  const program = existsSync(compiled)
    ? [compiled]
    : ['--experimental-strip-types', fileURLToPath(new URL('./bundle.ts', import.meta.url))];
  const { stdout } = await promisify(execFile)(process.execPath, program, { maxBuffer: 1 << 26 });
  return stdout;
}
