/** A log as files that other programs read: checkpoint, key, tiles, entries (C2SP tlog-tiles). */
import {
  bundleBytes,
  bundlePath,
  formatVerifierKey,
  type HashReader,
  inclusionProof,
  nodeInTile,
  parseCheckpoint,
  parseNote,
  proofFileText,
  type Tile,
  tilePath,
  tilesOf,
  verifierKey,
} from '#libs/ledger';
import { historyOf, keyEntries } from '../keys/announcement.js';
import { readNodes } from '../log-tiles.js';
import type { Tx } from '../tx.js';
import { entryRows, type LogRow } from './log-rows.js';

export interface ExportedFile {
  /** below the log's folder */
  path: string;
  bytes: Uint8Array;
}

/**
 * What is stored goes out as it is, damage and all: whoever reads it checks it.
 *
 * @param current the archive's key, for a log that never told of its own; Ed25519, 32 bytes
 * @param proofs numbers of entries to give a `.tlog-proof` of
 * @throws Error when hashes or entries are missing: then a check of the archive says which
 */
export async function* exportLog(
  tx: Tx,
  log: Pick<LogRow, 'logId' | 'origin'>,
  current: Uint8Array,
  proofs: readonly number[] = [],
): AsyncGenerator<ExportedFile> {
  const { logId, origin } = log;
  const notes = await tx.query<{ size: number; note: string }>(
    'SELECT size, note FROM checkpoint WHERE log_id = $1 ORDER BY size',
    [logId],
  );
  const newest = notes.at(-1);
  if (newest === undefined) return;
  const { size } = parseCheckpoint(parseNote(newest.note).text);
  const publicKey = await keyAt(tx, log, size, current);
  yield text('checkpoint', newest.note);
  yield text('key', `${formatVerifierKey(verifierKey(origin, publicKey))}\n`);
  for (const one of notes) yield text(`checkpoints/${one.size}`, one.note);
  const reader: HashReader = { readHashes: (nodes) => readNodes(tx, logId, nodes) };
  for (const tile of tilesOf(size)) {
    yield { path: tilePath(tile), bytes: await tileBytes(tile, reader) };
    if (tile.level === 0) {
      yield { path: bundlePath(tile), bytes: await bundleOf(tx, logId, tile) };
    }
  }
  for (const index of proofs) {
    const hashes = await inclusionProof(reader, index, size);
    yield text(
      `proofs/${index}.tlog-proof`,
      proofFileText({ index, hashes, checkpointNote: newest.note }),
    );
  }
}

/** Which key signed the head of that size: a log that closed before a change was signed by the one before. */
async function keyAt(
  tx: Tx,
  { logId, origin }: Pick<LogRow, 'logId' | 'origin'>,
  size: number,
  current: Uint8Array,
): Promise<Uint8Array> {
  try {
    return historyOf(origin, await keyEntries(tx, logId)).keyFor(size) ?? current;
  } catch {
    return current; // damaged entries about keys: whoever checks the export finds them
  }
}

async function tileBytes(tile: Tile, reader: HashReader): Promise<Uint8Array> {
  const nodes = Array.from({ length: tile.width }, (_, at) => nodeInTile(tile, at));
  return Buffer.concat(await reader.readHashes(nodes));
}

async function bundleOf(tx: Tx, logId: string, { index, width }: Tile): Promise<Uint8Array> {
  const from = index * 256;
  const rows = await entryRows(tx, logId, from, from + width);
  return bundleBytes(
    Array.from({ length: width }, (_, at) => {
      const row = rows.get(from + at);
      if (row === undefined) throw new Error(`log ${logId} lacks entry ${from + at}`);
      return row.bytes;
    }),
  );
}

function text(path: string, content: string): ExportedFile {
  return { path, bytes: new TextEncoder().encode(content) };
}
