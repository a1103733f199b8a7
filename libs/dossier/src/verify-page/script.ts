/** The script of verify.html: from the build if there is one, bundled on first use if not. */

import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const BUILT = new URL('../../verify-page.js', import.meta.url);

let script: Promise<string> | undefined;

export function verifyScript(): Promise<string> {
  script ??= existsSync(BUILT) ? readFile(BUILT, 'utf8') : bundled();
  return script;
}

/** Build step: writes the script beside the compiled library. */
export async function buildVerifyScript(): Promise<void> {
  await writeFile(BUILT, await bundled());
}

async function bundled(): Promise<string> {
  // Node runs the .ts file as it is: it has types to strip and nothing else.
  const program = [new URL('./bundle.js', import.meta.url), new URL('./bundle.ts', import.meta.url)]
    .map((url) => fileURLToPath(url))
    .find((path) => existsSync(path))!;
  const { stdout } = await promisify(execFile)(process.execPath, [program], { maxBuffer: 1 << 26 });
  return stdout;
}
