/**
 * What stands where in a dossier, and the small texts of the bag.
 *
 * Source: BagIt 1.0 (RFC 8493). Names below `data/` are our own; see README.md for the layout.
 */

export const DOSSIER_VERSION = 1;

export type DossierKind = 'handed-out' | 'keepers';

export const BAGIT_TXT = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n';

export const ALGORITHMS = ['sha256', 'sha512'] as const;
export type Algorithm = (typeof ALGORITHMS)[number];

/** The seal signs the tag manifests, which list every other tag file: so it is listed in none. */
export const SEAL_TXT = 'seal.txt';
export const OBJECTS_JSON = 'data/objects.json';
export const ABOUT_HTML = 'data/about.html';
export const VERIFY_HTML = 'data/verify.html';
export const LEDGER_DIR = 'data/ledger/';

/** Files of one log below `data/ledger/<name>/`. */
export const LOG_FILES = {
  entries: 'entries.jsonl',
  leaves: 'leaf-hashes.txt',
  checkpoint: 'checkpoint.txt',
  key: 'key.txt',
} as const;

/** Beside them, where others saw an earlier state of the log. */
export const LOG_EXTRA_FILES = {
  /** the newest checkpoint that a witness cosigned, with its cosignatures, when that is not the last */
  seen: 'seen-checkpoint.txt',
  /** the checkpoint over which a time authority made a token, and the token (RFC 3161, DER) */
  stamped: 'stamped-checkpoint.txt',
  token: 'time-token.der',
} as const;

/** Folder of a log: its origin line with the separators made safe for any file system. */
export function logFolder(origin: string): string {
  return origin
    .toLowerCase()
    .replaceAll('/', '_')
    .replace(/[^a-z0-9._-]/g, '-')
    .replace(/^\.+/, '-');
}

export type BagInfo = ReadonlyMap<string, string>;

/** Lines `Label: value` in the order given; values are one line each. */
export function bagInfoText(fields: readonly (readonly [string, string])[]): string {
  return fields
    .map(([label, value]) => `${label}: ${value.replace(/\s+/g, ' ').trim()}\n`)
    .join('');
}

/** @returns undefined unless every line is `Label: value` and no label comes twice */
export function parseBagInfo(text: string): BagInfo | undefined {
  const fields = new Map<string, string>();
  if (!text.endsWith('\n')) return undefined;
  for (const line of text.slice(0, -1).split('\n')) {
    const at = line.indexOf(': ');
    if (at < 1 || fields.has(line.slice(0, at))) return undefined;
    fields.set(line.slice(0, at), line.slice(at + 2));
  }
  return fields;
}
