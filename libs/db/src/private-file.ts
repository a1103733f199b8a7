import { randomBytes } from 'node:crypto';
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';

/** Writes a file that only its owner may read; whole or not at all, also when power fails. */
export function writePrivateFile(path: string, content: string | Uint8Array): void {
  const draftPath = `${path}.${randomBytes(6).toString('hex')}`;
  const file = openSync(draftPath, 'wx', 0o600);
  try {
    writeFileSync(file, content);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
  renameSync(draftPath, path);
  const folder = openSync(dirname(path), 'r');
  try {
    fsyncSync(folder);
  } finally {
    closeSync(folder);
  }
}

/** Text of a private file, made by `make` when it is not there yet. */
export function keptSecret(path: string, make: () => string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
  }
  const secret = make();
  writePrivateFile(path, secret);
  return secret;
}
