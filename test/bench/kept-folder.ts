/** Generated cases, kept outside the repository from one run to the next. */
import { createHash } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * The folder of one case, which need not be there yet; the folder it lies in is.
 *
 * @param source all that the case follows from: another source gives another folder
 * @param keep where to keep them; the machine's folder for temporary files when left out
 */
export function keptFolder(name: string, source: unknown, keep?: string): string {
  const root = keep ?? join(tmpdir(), 'mullion-bench');
  mkdirSync(root, { recursive: true });
  const wish = createHash('sha256').update(JSON.stringify(source)).digest('hex').slice(0, 8);
  return join(root, `${name}-${wish}`);
}
