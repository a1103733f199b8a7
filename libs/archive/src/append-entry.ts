/** A decision made an entry of its log: the canonical bytes, their leaf hash, and the head after it. */
import {
  canonicalBytes,
  ENTRY_BYTES_MAX,
  EntryError,
  entryBytes,
  type EntryRef as LeafRef,
  placeInHistory,
  readPlace,
} from '#libs/ledger';
import { Problem } from '#libs/problem';
import type { Decision, ProjectedEntry } from './command.js';
import { hasher } from './hasher.js';
import { random16 } from './id.js';
import { appended, type LogHead } from './log-head.js';
import { storeFullTiles } from './log-tiles.js';
import { plainJson } from './plain-json.js';
import type { RowTarget } from './row-insert.js';
import type { Tx } from './tx.js';

const ENTRIES: RowTarget = {
  table: 'entry',
  key: ['logId', 'seq'],
  json: [],
  whenThere: 'fail',
  types: {
    logId: 'text',
    seq: 'int8',
    type: 'text',
    subject: 'text',
    actorId: 'uuid',
    happened: 'text',
    recordedAt: 'timestamptz',
    bytes: 'bytea',
    leafHash: 'bytea',
  },
};
const STORED_OBJECTS: RowTarget = {
  table: 'stored_object',
  key: ['digest'],
  json: [],
  whenThere: 'keep',
};

export interface Author {
  readonly actorId: string;
  readonly now: Date;
  /** leaf of the studio's log that gave the actor the role */
  readonly givenBy?: LeafRef | undefined;
}

export interface Appended<P> {
  readonly head: LogHead;
  readonly entry: ProjectedEntry<P>;
}

/** @throws {Problem} `entry-too-large`; nothing is written then */
export async function appendEntry<P>(
  tx: Tx,
  before: LogHead,
  type: string,
  decision: Decision<P>,
  { actorId, now, givenBy }: Author,
): Promise<Appended<P>> {
  // A clock that jumped back never makes an entry older than the one before it.
  const isClamped = now < before.lastAt;
  const recordedAt = isClamped ? before.lastAt : now;
  const { subject, happened, objects = [] } = decision;
  const index = before.size;
  const { supersedes, replaced } = await replacedEntry(tx, before, decision.supersedes?.seq);
  const payload = plainJson(decision.payload) as never;
  const bytes = bytesOf({
    v: 1,
    log: before.origin,
    seq: index,
    type,
    subject,
    actorId,
    happened,
    ...(isClamped ? { happenedNote: clampNote(now) } : {}),
    recordedAt: recordedAt.toISOString(),
    // a dossier that withholds the entry shows its leaf hash: nobody may guess the text from it
    salt: random16().toString('base64url'),
    payload,
    objects: objects.map(({ digest, role }) => ({ digest, role })),
    supersedes,
    // who was what at the time: a dossier of one site proves it by this leaf of the studio's log
    refs: [...(givenBy === undefined ? [] : [givenBy]), ...replaced],
  });
  const leaf = hasher.leaf(bytes);
  const { head, nodes } = appended(before, leaf, recordedAt);
  const { logId, siteId } = head;
  for (const { digest, sizeBytes, role } of objects) {
    await tx.put(STORED_OBJECTS, { digest, sizeBytes, role, firstAt: recordedAt });
  }
  await tx.put(ENTRIES, {
    logId,
    seq: index,
    type,
    subject,
    actorId,
    happened,
    recordedAt,
    bytes: Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength),
    leafHash: Buffer.from(leaf),
  });
  await storeFullTiles(tx, logId, nodes);
  const { origin } = before;
  const seq = placeInHistory(head.epoch, index);
  return {
    head,
    entry: {
      logId,
      origin,
      siteId,
      seq,
      index,
      type,
      subject,
      actorId,
      happened,
      recordedAt,
      payload,
    },
  };
}

/** An entry of an epoch that is closed lies in another log: it is referred to by its leaf. */
async function replacedEntry(
  tx: Tx,
  { epoch, siteId }: LogHead,
  place: number | undefined,
): Promise<{ supersedes: { seq: number } | null; replaced: LeafRef[] }> {
  if (place === undefined) return { supersedes: null, replaced: [] };
  const { epoch: then, seq } = readPlace(place);
  if (then === epoch) return { supersedes: { seq }, replaced: [] };
  const leaf = await tx.first<LeafRef>(
    `SELECT l.origin, e.seq AS index, encode(e.leaf_hash, 'hex') AS leaf_hash
     FROM log l JOIN entry e USING (log_id)
     WHERE l.site_id IS NOT DISTINCT FROM $1 AND l.epoch = $2 AND e.seq = $3`,
    [siteId, then, seq],
    [],
  );
  return { supersedes: null, replaced: leaf === undefined ? [] : [leaf] };
}

function bytesOf(entry: Parameters<typeof entryBytes>[0]): Uint8Array {
  try {
    return entryBytes(entry);
  } catch (cause) {
    if (!(cause instanceof EntryError) || cause.fault !== 'too-large') throw cause;
    throw new Problem(
      'entry-too-large',
      `The record would take more than ${ENTRY_BYTES_MAX} bytes in the ledger (${canonicalBytes(entry).length}). Shorten the longest text.`,
      {},
      { cause },
    );
  }
}

function clampNote(now: Date): string {
  return `recordedAt is that of the entry before: the server’s clock stood at ${now.toISOString()}`;
}
