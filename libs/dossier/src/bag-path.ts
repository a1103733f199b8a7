/** Paths inside a bag: relative, forward slashes, safe on every file system that must hold them. */

/** @returns a reason, or undefined for a path that may stand in a dossier */
export function pathProblem(path: string): string | undefined {
  if (path === '') return 'an empty path';
  if (path.startsWith('/') || /^[A-Za-z]:/.test(path)) return 'an absolute path';
  if (path.includes('\\')) return 'a backslash in a path';
  // eslint-disable-next-line no-control-regex -- these break file systems and manifests
  if (/[\u0000-\u001f\u007f]/.test(path)) return 'a control character in a path';
  if (path.length > 512) return 'a path of more than 512 characters';
  for (const part of path.split('/')) {
    if (part === '' || part === '.' || part === '..')
      return `the part ${JSON.stringify(part)} in a path`;
    if (part.startsWith('~')) return 'a path that starts with ~';
  }
  return undefined;
}

/** Two paths with one key fall together where case or composition of letters is ignored. */
export function pathKey(path: string): string {
  return path.normalize('NFC').toLowerCase();
}

/** Order by UTF-16 code units: the same on every machine. */
export function comparePaths(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
