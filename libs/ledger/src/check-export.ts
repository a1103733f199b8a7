/**
 * A log that was exported as files (C2SP tlog-tiles), checked without a database.
 *
 * Files below the log's folder: `checkpoint`, `key` (verifier key), `tile/…`, `tile/entries/…`,
 * `checkpoints/SIZE` for every head that was handed out before, and `proofs/N.tlog-proof` for some
 * entries. Each file is held against the others; only what the reader brings lifts the result to *verified* (see `verify-log`).
 */

import { bytesEqual } from './bytes.js';
import { parseCheckpoint } from './checkpoint.js';
import { verifyEd25519 } from './ed25519.js';
import { type Entry, type EntryRef } from './entry.js';
import { Frontier } from './frontier.js';
import { sha256, treeHasher } from './hash.js';
import { KeyHistory } from './key-history.js';
import { keyOfLog } from './key-statement.js';
import { LeafList } from './leaf-list.js';
import { verifyInclusion } from './proof.js';
import { parseProofFile } from './proof-file.js';
import { openNote } from './signed-note.js';
import {
  bundlePath,
  entriesInBundle,
  hashesInTile,
  nodeInTile,
  type Tile,
  tilePath,
  tilesOf,
} from './tiles.js';
import { parseVerifierKey, verifierKey } from './verifier-key.js';
import { LogCheck, type LogCheckOptions, type LogFault, type LogVerdict } from './verify-log.js';

/** Files of one exported log, by their path below its folder. */
export interface ExportFiles {
  read(path: string): Promise<Uint8Array | undefined>;
  /** sizes named by the files of `checkpoints/`, in rising order */
  checkpointSizes: readonly number[];
  /** names of the files of `proofs/` (C2SP tlog-proof) */
  proofNames: readonly string[];
}

export interface ExportFault extends Omit<LogFault, 'place'> {
  place: LogFault['place'] | 'file' | 'tile';
  path?: string;
}

export interface ExportVerdict extends Omit<LogVerdict, 'faults'> {
  faults: readonly ExportFault[];
  /** checkpoints of earlier sizes that fit */
  checkpoints: number;
  refs: readonly (EntryRef & { seq: number })[];
  /** leaf hash of an entry, from the tiles */
  leafAt(seq: number): Uint8Array | undefined;
}

export type ExportTrust = Pick<
  LogCheckOptions,
  'fingerprint' | 'witnessKeys' | 'hash' | 'verifySignature'
>;

/** Faults beyond this many are not listed. */
const FAULTS_MAX = 100;

/** @throws Error when the reader's own fingerprint or witness key is mistyped */
export async function checkExport(files: ExportFiles, trust: ExportTrust): Promise<ExportVerdict> {
  const note = textOf(await files.read('checkpoint'));
  const key = textOf(await files.read('key')).replace(/\n$/, '');
  const faults: ExportFault[] = [];
  const size = sizeOf(note);
  const leaves = await leavesOf(files, size, faults);
  const check = new LogCheck(note, { ...trust, key, leaves });
  const entries = await entriesOf(files, size, check, faults);
  const verdict = check.finish();
  const checkpoints = await checkTree(files, { note, key, size, leaves, entries }, trust, faults);
  faults.push(...(await proofFaults(files, key, leaves, trust)));
  const all = [...verdict.faults, ...faults].slice(0, FAULTS_MAX);
  return {
    ...verdict,
    result: all.length > 0 ? 'altered' : verdict.result,
    faults: all,
    checkpoints,
    refs: entries.flatMap(({ seq, refs }) => refs.map((ref) => ({ ...ref, seq }))),
    leafAt: (seq) => leaves.at(seq),
  };
}

/** 0 when the checkpoint cannot be read: the check says so. */
function sizeOf(note: string): number {
  try {
    return parseCheckpoint(openNote(note, []).text).size;
  } catch {
    return 0;
  }
}

async function leavesOf(
  files: ExportFiles,
  size: number,
  faults: ExportFault[],
): Promise<LeafList> {
  const leaves = new LeafList();
  for (const tile of tilesOf(size)) {
    if (tile.level > 0) break;
    const hashes = await hashesOf(files, tile, faults);
    // the list keeps its length, so that later entries are still matched
    for (let at = 0; at < tile.width; at++) leaves.push(hashes?.[at] ?? new Uint8Array(32));
  }
  return leaves;
}

async function hashesOf(
  files: ExportFiles,
  tile: Tile,
  faults: ExportFault[],
): Promise<Uint8Array[] | undefined> {
  const path = tilePath(tile);
  const bytes = await files.read(path);
  const hashes = bytes && hashesInTile(bytes, tile.width);
  if (hashes === undefined) {
    const reason = bytes === undefined ? `${path} is missing` : `${path} has a wrong length`;
    faults.push({ place: 'file', path, reason });
  }
  return hashes;
}

async function entriesOf(
  files: ExportFiles,
  size: number,
  check: LogCheck,
  faults: ExportFault[],
): Promise<Entry[]> {
  const kept: Entry[] = [];
  for (const { level, index, width } of tilesOf(size)) {
    if (level > 0) break;
    const path = bundlePath({ index, width });
    const bytes = await files.read(path);
    const entries = bytes && entriesInBundle(bytes, width);
    if (entries === undefined) {
      const reason = bytes === undefined ? `${path} is missing` : `${path} is cut off or too long`;
      faults.push({ place: 'file', path, reason });
      continue;
    }
    for (const one of entries) {
      const entry = check.add(one);
      // only what later steps need stays in memory
      if (entry !== undefined && (entry.refs.length > 0 || entry.type.startsWith('key.'))) {
        kept.push(entry);
      }
    }
  }
  return kept;
}

interface ReadLog {
  note: string;
  key: string;
  size: number;
  leaves: LeafList;
  entries: readonly Entry[];
}

/** Hashes above the leaves, and the heads handed out earlier. @returns how many heads fit */
async function checkTree(
  files: ExportFiles,
  log: ReadLog,
  trust: ExportTrust,
  faults: ExportFault[],
): Promise<number> {
  const stored = new Map<string, { hash: Uint8Array; path: string }>();
  for (const tile of tilesOf(log.size)) {
    if (tile.level === 0) continue;
    const hashes = await hashesOf(files, tile, faults);
    hashes?.forEach((hash, at) => {
      const { level, index } = nodeInTile(tile, at);
      stored.set(`${level}/${index}`, { hash, path: tilePath(tile) });
    });
  }
  const frontier = new Frontier(treeHasher(trust.hash ?? sha256));
  const heads = new EarlierHeads(log, trust);
  const sizes = new Set(files.checkpointSizes);
  let fit = 0;
  for (let seq = 0; seq < log.leaves.size; seq++) {
    frontier.append(log.leaves.at(seq)!.slice(), ({ level, index, hash }) => {
      const node = stored.get(`${level}/${index}`);
      if (node === undefined || bytesEqual(node.hash, hash)) return;
      faults.push({
        place: 'tile',
        path: node.path,
        reason: `${node.path}: hash ${index % 256} does not fit the entries below it`,
      });
    });
    if (!sizes.has(seq + 1)) continue;
    const path = `checkpoints/${seq + 1}`;
    const problem = heads.problem(seq + 1, textOf(await files.read(path)), frontier.root());
    if (problem === undefined) fit += 1;
    else faults.push({ place: 'checkpoint', path, reason: `${path} ${problem}` });
  }
  for (const size of files.checkpointSizes.filter((one) => one > log.size)) {
    const reason = `checkpoints/${size} is over more entries than the log has: it was set back`;
    faults.push({ place: 'checkpoint', path: `checkpoints/${size}`, reason });
  }
  return fit;
}

/** Heads of earlier sizes, each by the key in force at its size. */
class EarlierHeads {
  readonly #keys: KeyHistory;
  readonly #first: Uint8Array | undefined;
  readonly #origin: string;
  #next = 0;

  constructor(
    private readonly log: ReadLog,
    private readonly trust: ExportTrust,
  ) {
    const key = parseVerifierKey(log.key);
    this.#origin = key?.name ?? '';
    this.#keys = new KeyHistory(this.#origin, trust);
    const first = log.entries.find(({ type }) => type.startsWith('key.'));
    const payload = first?.payload as { key?: unknown; fromKey?: unknown } | undefined;
    this.#first = keyOfLog(payload?.key ?? payload?.fromKey, this.#origin) ?? key?.publicKey;
  }

  problem(size: number, note: string, root: Uint8Array): string | undefined {
    const { entries } = this.log;
    for (; this.#next < entries.length && entries[this.#next]!.seq < size; this.#next++) {
      this.#keys.add(entries[this.#next]!);
    }
    const publicKey = this.#keys.current?.publicKey ?? this.#first;
    if (publicKey === undefined) return 'cannot be checked: no key is known';
    try {
      const known = verifierKey(this.#origin, publicKey);
      const opened = openNote(note, [known], this.trust.verifySignature ?? verifyEd25519);
      const head = parseCheckpoint(opened.text);
      if (opened.failed.length > 0) return 'was changed: its signature does not hold';
      if (opened.verified.length === 0) return 'is not signed by the key in force at that entry';
      if (head.origin !== this.#origin || head.size !== size) return 'is of another log or size';
      return bytesEqual(head.root, root)
        ? undefined
        : 'has another root than the entries before it: the history was rewritten after it was signed';
    } catch (cause) {
      return `was changed: ${cause instanceof Error ? cause.message : String(cause)}`;
    }
  }
}

async function proofFaults(
  files: ExportFiles,
  keyText: string,
  leaves: LeafList,
  trust: ExportTrust,
): Promise<ExportFault[]> {
  const key = parseVerifierKey(keyText);
  const faults: ExportFault[] = [];
  for (const name of files.proofNames) {
    const path = `proofs/${name}`;
    try {
      const proof = parseProofFile(textOf(await files.read(path)));
      const opened = openNote(
        proof.checkpointNote,
        key === undefined ? [] : [key],
        trust.verifySignature,
      );
      const head = parseCheckpoint(opened.text);
      const leaf = leaves.at(proof.index);
      const holds =
        opened.verified.length > 0 &&
        opened.failed.length === 0 &&
        head.origin === key?.name &&
        leaf !== undefined &&
        verifyInclusion(leaf, proof.index, head, proof.hashes);
      if (!holds) faults.push({ place: 'file', path, reason: `${path}: the proof does not hold` });
    } catch (cause) {
      const detail = cause instanceof Error ? cause.message : String(cause);
      faults.push({ place: 'file', path, reason: `${path} was changed: ${detail}` });
    }
  }
  return faults;
}

/** Broken UTF-8 becomes U+FFFD, which no note or key holds; a missing file is an empty text. */
function textOf(bytes: Uint8Array | undefined): string {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes ?? new Uint8Array(0));
}
