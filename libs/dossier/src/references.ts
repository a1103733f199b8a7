/**
 * Leaves of another log that the given entries refer to, each with a proof of its own: so that the
 * dossier of one site shows who held which role, and nothing else of the studio's log.
 *
 * Files: `data/references/LOG/N.tlog-proof` (C2SP tlog-proof) and beside it `N.json`, the entry's bytes,
 * or `N.leaf-hash` where the entry itself is not given.
 */

import {
  bytesOfHex,
  type Entry,
  hexOf,
  leafHash,
  openNote,
  parseCheckpoint,
  parseEntry,
  parseProofFile,
  proofFileText,
  type Sha256,
  treeHasher,
  verifierKey,
  verifyInclusion,
} from '#libs/ledger';
import { logFolder } from './bag-layout.js';
import type { DossierFinding } from './report.js';
import { archiveOf } from './seal.js';
import { readWhole, type SourceFile } from './source.js';

/** One referenced leaf as it is put in. */
export interface DossierReference {
  index: number;
  leaf: { bytes: Uint8Array } | { leafHash: Uint8Array };
  /** audit path in the tree of the checkpoint */
  hashes: readonly Uint8Array[];
  /** signed by the archive's key */
  checkpointNote: string;
}

/** A leaf whose proof holds. */
export interface ProvenLeaf {
  leafHash: string;
  entry?: Entry;
}

const FOLDER = 'data/references/';
const FILE_BYTES_MAX = 1 << 20;

/** The two files of a reference. */
export function referenceFiles({
  index,
  leaf,
  hashes,
  checkpointNote,
}: DossierReference): { path: string; bytes: Uint8Array }[] {
  const origin = checkpointNote.split('\n')[0]!;
  const stem = `${FOLDER}${logFolder(origin)}/${index}`;
  const proof = utf8(proofFileText({ index, hashes, checkpointNote }));
  return [
    { path: `${stem}.tlog-proof`, bytes: proof },
    'bytes' in leaf
      ? { path: `${stem}.json`, bytes: leaf.bytes }
      : { path: `${stem}.leaf-hash`, bytes: utf8(`${hexOf(leaf.leafHash)}\n`) },
  ];
}

/** By {@link leafName}. @param sealKey public key that sealed the dossier */
export async function provenLeaves(
  files: ReadonlyMap<string, SourceFile>,
  archive: string | undefined,
  sealKey: Uint8Array | undefined,
  hash: Sha256,
): Promise<{ proven: Map<string, ProvenLeaf>; findings: DossierFinding[] }> {
  const proven = new Map<string, ProvenLeaf>();
  const findings: DossierFinding[] = [];
  for (const [path, file] of files) {
    if (!path.startsWith(FOLDER) || !path.endsWith('.tlog-proof')) continue;
    try {
      const stem = path.slice(0, -'.tlog-proof'.length);
      const leaf = await leafBeside(stem, files, hash);
      const proof = parseProofFile(text(await readWhole(file, FILE_BYTES_MAX)));
      const origin = proof.checkpointNote.split('\n')[0]!;
      if (sealKey === undefined || archiveOf(origin) !== archive) {
        throw new Error('it is of another archive than the dossier');
      }
      const opened = openNote(proof.checkpointNote, [verifierKey(origin, sealKey)]);
      if (opened.failed.length > 0 || opened.verified.length === 0) {
        throw new Error('its checkpoint is not signed by the key that sealed the dossier');
      }
      const isThere = verifyInclusion(
        leaf.hash,
        proof.index,
        parseCheckpoint(opened.text),
        proof.hashes,
        treeHasher(hash),
      );
      if (!isThere) throw new Error('the proof does not hold');
      if (leaf.entry !== undefined && (leaf.entry.seq !== proof.index || leaf.entry.log !== origin))
        throw new Error('the entry belongs elsewhere');
      proven.set(leafName(origin, proof.index), {
        leafHash: hexOf(leaf.hash),
        ...(leaf.entry !== undefined && { entry: leaf.entry }),
      });
    } catch (cause) {
      const detail = cause instanceof Error ? cause.message : String(cause);
      findings.push({ place: 'entry', path, reason: `${path} was changed: ${detail}` });
    }
  }
  return { proven, findings };
}

export function leafName(origin: string, index: number): string {
  return `${index} ${origin}`;
}

async function leafBeside(
  stem: string,
  files: ReadonlyMap<string, SourceFile>,
  hash: Sha256,
): Promise<{ hash: Uint8Array; entry?: Entry }> {
  const given = files.get(`${stem}.json`);
  if (given !== undefined) {
    const bytes = await readWhole(given, FILE_BYTES_MAX);
    return { hash: leafHash(bytes, hash), entry: parseEntry(bytes) };
  }
  const listed = files.get(`${stem}.leaf-hash`);
  if (listed === undefined) throw new Error('neither entry nor leaf hash lies beside it');
  const found = bytesOfHex(text(await readWhole(listed, FILE_BYTES_MAX)).trimEnd());
  if (found?.length !== 32) throw new Error('no leaf hash lies beside it');
  return { hash: found };
}

function utf8(content: string): Uint8Array {
  return new TextEncoder().encode(content);
}

function text(bytes: Uint8Array): string {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
}
