/**
 * What follows when somebody holds a checkpoint that a log cannot reach: the log closes and its next
 * epoch opens, in one transaction, before anything else is written to it.
 */
import {
  base64Of,
  type Checkpoint,
  type EpochPayload,
  epochPayloadSchema,
  LOG_EPOCH,
  originLine,
  parseEntry,
  parseOrigin,
} from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { type Author, appendEntry } from '../append-entry.js';
import { BatchTx } from '../batch-tx.js';
import { type CopyPorts, copyCheckpoint } from '../checkpoint-copy.js';
import { PROGRAM_ACTOR } from '../id.js';
import { announceInLog, keysInForce } from '../keys/announcement.js';
import {
  type LogHead,
  lineOf,
  lockHead,
  lockLog,
  logIdOf,
  openLog,
  type SignedHead,
  storeHead,
} from '../log-head.js';
import { type KeyRing, signerFor } from '../signer.js';
import { type SqlPool, Tx } from '../tx.js';
import {
  contains,
  isSignedByArchive,
  type LogOfCheckpoint,
  logOfOrigin,
  readCheckpoint,
} from './known-checkpoint.js';

export interface EpochPorts extends CopyPorts {
  readonly pool: SqlPool;
  readonly objects: ObjectStore;
  readonly keys: KeyRing;
  readonly clock?: () => number;
}

/** The checkpoint is beyond our log, and an entry tells of that. */
export interface OpenedEpoch {
  readonly state: 'epoch';
  /** log that goes on, and its entry that tells */
  readonly logId: string;
  readonly seq: number;
  readonly told: EpochPayload;
  /** whether that happened just now */
  readonly isNew: boolean;
}

/** What a checkpoint that somebody holds came to; `contained`: our log holds what it commits to. */
export type Consideration = { readonly state: 'contained'; readonly logId: string } | OpenedEpoch;

/**
 * @param note the signed checkpoint
 * @throws {Problem} `checkpoint-unreadable`, `checkpoint-foreign`
 */
export async function considerCheckpoint(
  ports: EpochPorts,
  note: string,
  heldBy: EpochPayload['heldBy'],
): Promise<Consideration> {
  const head = readCheckpoint(note);
  const reads = new Tx(ports.pool);
  const log = await logOfOrigin(reads, head.origin);
  if (log === undefined || !(await isSignedByArchive(reads, log, note, ports.keys.current))) {
    throw new Problem(
      'checkpoint-foreign',
      'No log of this archive gave out this checkpoint: its origin or its signature is another.',
      { field: 'checkpoint' },
    );
  }
  if (await contains(reads, log, head)) return { state: 'contained', logId: log.logId };
  return tellOf(ports, head, note, heldBy);
}

async function tellOf(
  ports: EpochPorts,
  head: Checkpoint,
  note: string,
  heldBy: EpochPayload['heldBy'],
): Promise<Consideration> {
  const now = new Date((ports.clock ?? Date.now)());
  const client = await ports.pool.connect();
  const tx = new BatchTx(client);
  let signed: SignedHead;
  let told: EpochPayload;
  let seq: number;
  try {
    await tx.write('BEGIN ISOLATION LEVEL READ COMMITTED', [], []);
    const log = (await logOfOrigin(tx, head.origin))!;
    const before = (await lockLog(tx, log.logId))!;
    // looked at anew under the lock: others may have told of it
    const current = (await logOfOrigin(tx, head.origin))!;
    const known = await toldAlready(tx, current, head);
    if (known !== undefined) {
      await tx.rollBack();
      client.release();
      return { state: 'epoch', ...known, isNew: false };
    }
    const by: Author = { actorId: PROGRAM_ACTOR, now };
    const keys = await keysInForce(tx);
    const [open, signer] = await headToTellIn(tx, current, before, ports.keys, by);
    told = await whatIsLost(tx, current, before, head, note, heldBy);
    seq = open.size;
    const { head: after } = await appendEntry(
      tx,
      open,
      LOG_EPOCH,
      {
        log: open.siteId === null ? 'studio' : { siteId: open.siteId },
        subject: null,
        happened: null,
        payload: told,
      },
      by,
    );
    const announced = current.isClosed
      ? after
      : await announceInLog(tx, after, keys, ports.keys, by);
    signed = await storeHead(tx, announced, signer, now);
    if (!(await tx.commit())) throw tx.failure ?? new Error('the epoch could not be written');
    client.release();
  } catch (error) {
    client.release(true);
    throw error;
  }
  await copyCheckpoint(ports, signed, now);
  return { state: 'epoch', logId: signed.logId, seq, told, isNew: true };
}

/** The next epoch where the log is the open one; the open one where it was closed before. */
async function headToTellIn(
  tx: BatchTx,
  log: LogOfCheckpoint,
  before: LogHead,
  keys: KeyRing,
  { now }: Author,
) {
  const signer = signerFor(keys, before);
  if (log.isClosed) {
    const head = (await lockHead(tx, lineOf(log)))!;
    return [head, signerFor(keys, head)] as const;
  }
  const epoch = log.epoch + 1;
  const { archiveId, log: name } = parseOrigin(log.origin)!;
  const head = await openLog(tx, {
    logId: logIdOf(log.siteId, epoch),
    origin: originLine({ archiveId, log: name, epoch }),
    siteId: log.siteId,
    at: now > before.lastAt ? now : before.lastAt,
    epoch,
  });
  return [{ ...head, signingKey: before.signingKey }, signer] as const;
}

async function whatIsLost(
  tx: Tx,
  log: LogOfCheckpoint,
  before: LogHead,
  head: Checkpoint,
  note: string,
  heldBy: EpochPayload['heldBy'],
): Promise<EpochPayload> {
  const mark = await tx.first<{ size: number; generation: string }>(
    'SELECT size, generation FROM restore_mark WHERE log_id = $1 ORDER BY restored_at DESC LIMIT 1',
    [log.logId],
  );
  const from = Math.min(mark?.size ?? before.size, head.size);
  return {
    before: { origin: log.origin, size: before.size, rootHash: base64Of(before.rootHash) },
    known: { origin: head.origin, size: head.size, rootHash: base64Of(head.root), note },
    lost: { from, to: head.size },
    heldBy,
    restored: mark?.generation ?? null,
  };
}

/** An entry of a later epoch that tells of this loss, or of a greater one of the same log. */
async function toldAlready(
  tx: Tx,
  log: LogOfCheckpoint,
  head: Checkpoint,
): Promise<{ logId: string; seq: number; told: EpochPayload } | undefined> {
  if (!log.isClosed) return undefined;
  const rows = await tx.query<{ logId: string; seq: number; bytes: Buffer }>(
    `SELECT log_id, seq, bytes FROM entry WHERE type = $2 AND log_id LIKE $1 || '.%' ORDER BY log_id, seq`,
    [lineOf(log), LOG_EPOCH],
  );
  for (const { logId, seq, bytes } of rows) {
    const told = epochPayloadSchema.parse(parseEntry(new Uint8Array(bytes)).payload);
    if (told.known.origin === head.origin && told.known.size >= head.size) {
      return { logId, seq, told };
    }
  }
  return undefined;
}
