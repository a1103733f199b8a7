/** Files of a home that the database does not hold and a restored archive needs: keys and secrets. */
import { lstat, readdir, readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { PrivateFile } from './make-backup.js';

/** What belongs to the place and not to the archive: made anew in another home. */
const OF_THE_PLACE =
  /^(home\.json|unfinished\.json|address|lock.*|postgres-.*password|postgres-program|.*\.log)$/;
const FILE_BYTES_MAX = 1024 * 1024;
/** A draft that a write cut short left: a name with six random bytes behind it. */
const DRAFT = /\.[0-9a-f]{12}$/;

/**
 * @param keyFile the archive's key; may lie outside the home
 * @throws Error when the key is not there
 */
export async function privateFiles(homePath: string, keyFile: string): Promise<PrivateFile[]> {
  const files = new Map<string, PrivateFile>();
  for (const name of await readdir(homePath).catch(() => [])) {
    if (OF_THE_PLACE.test(name) || DRAFT.test(name)) continue;
    const path = join(homePath, name);
    const found = await lstat(path);
    if (!found.isFile() || found.size > FILE_BYTES_MAX) continue;
    files.set(name, { name, mode: found.mode & 0o777, bytes: await readFile(path) });
  }
  const name = 'archive-key.pem';
  if (basename(keyFile) !== name || !files.has(name)) {
    const { mode } = await stat(keyFile);
    files.set(name, { name, mode: mode & 0o777, bytes: await readFile(keyFile) });
  }
  return [...files.values()].sort((a, b) => (a.name < b.name ? -1 : 1));
}
