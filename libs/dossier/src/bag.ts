/** The files of a bag by their path, and what is wrong with the paths themselves. */

import { pathKey, pathProblem } from './bag-path.js';
import type { DossierFinding } from './report.js';
import type { DossierSource, SourceFile } from './source.js';

export interface Bag {
  files: ReadonlyMap<string, SourceFile>;
  findings: DossierFinding[];
}

/**
 * Finds the bag in the container: its base folder is where `bagit.txt` lies, at the top or one down.
 * @returns undefined when there is none
 */
export function findBag(source: DossierSource): Bag | undefined {
  const base = source.files
    .map((file) => /^([^/]*\/)?bagit\.txt$/.exec(file.path))
    .find((found) => found !== null);
  if (base === undefined) return undefined;
  const prefix = base[1] ?? '';
  const findings: DossierFinding[] = source.problems.map((reason) => ({
    place: 'container',
    reason,
  }));
  const files = new Map<string, SourceFile>();
  const keys = new Map<string, string>();
  for (const file of source.files) {
    const problem = pathProblem(file.path);
    if (problem !== undefined) {
      findings.push({
        place: 'container',
        path: file.path,
        reason: `${problem}: ${JSON.stringify(file.path)}`,
      });
      continue;
    }
    if (!file.path.startsWith(prefix)) {
      findings.push({
        place: 'file',
        path: file.path,
        reason: `${file.path} lies outside the bag: it was added`,
      });
      continue;
    }
    const path = file.path.slice(prefix.length);
    const same = keys.get(pathKey(path));
    if (same !== undefined) {
      findings.push({
        place: 'container',
        path,
        reason:
          same === path ? `${path} is there twice` : `${path} and ${same} differ only by case`,
      });
      continue;
    }
    keys.set(pathKey(path), path);
    files.set(path, file);
  }
  return { files, findings };
}
