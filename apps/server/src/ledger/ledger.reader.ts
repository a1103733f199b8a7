import { Inject, Injectable } from '@nestjs/common';
import {
  hasher,
  newestSeen,
  readTiles,
  TileMemory,
  TileReader,
  Tx,
  withCosignatures,
} from '#libs/archive';
import type { PgPool } from '#libs/db';
import {
  bundleBytes,
  consistencyProof,
  entryName,
  epochLogId,
  HASH_BYTES,
  type HashReader,
  inclusionProof,
  parseTilePath,
  readLogId,
  readPlace,
  rootFrom,
  TILE_WIDTH,
  tileWidth,
} from '#libs/ledger';
import { Problem } from '#libs/problem';
import { type Actor, readableSites } from '../platform/actor.js';
import { POOL } from '../platform/tokens.js';

export interface LogRow {
  logId: string;
  origin: string;
  siteId: string | null;
  epoch: number;
  /** a later epoch goes on */
  isClosed: boolean;
  size: number;
  rootHash: Buffer;
  lastAt: Date;
}

export interface EntryRow {
  logId: string;
  seq: number;
  type: string;
  subject: string | null;
  actorId: string;
  happened: string | null;
  recordedAt: Date;
  bytes: Buffer;
  leafHash: Buffer;
}

const LOG = `SELECT log.log_id, origin, site_id, epoch, size, root_hash, last_at,
  EXISTS (SELECT 1 FROM log later WHERE later.site_id IS NOT DISTINCT FROM log.site_id
            AND later.epoch > log.epoch) AS is_closed`;
const FOR_READERS = 'log.log_id = $3 AND ($1 OR site_id = ANY($2::uuid[]))';

/** Reads the ledger for those who may: a site's log by a role there, the studio's by a role everywhere. */
@Injectable()
export class LedgerReader {
  readonly #tx: Tx;
  readonly #tiles = new TileMemory();

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  logs(actor: Actor): Promise<LogRow[]> {
    const sites = readableSites(actor);
    return this.#tx.query<LogRow>(
      `${LOG} FROM log WHERE $1 OR site_id = ANY($2::uuid[]) ORDER BY site_id NULLS FIRST, epoch`,
      [sites === 'all', sites === 'all' ? [] : sites],
    );
  }

  /** @throws {Problem} `log-unknown` */
  async log(actor: Actor, logId: string): Promise<LogRow> {
    return known(
      await this.#tx.firstPrepared<LogRow>(
        `${LOG} FROM log WHERE ${FOR_READERS}`,
        forReader(actor, logId),
      ),
    );
  }

  /**
   * The same for proofs about an entry: its full tile comes in one answer with the log, where it is
   * not remembered. A proof is then made without another question.
   * @throws {Problem} `log-unknown`
   */
  async logForProof(actor: Actor, logId: string, seq: number): Promise<LogRow> {
    const tile = { level: 0, index: Math.floor(seq / TILE_WIDTH) };
    if (this.#tiles.get(logId, tile) !== undefined) return this.log(actor, logId);
    const row = await this.#tx.firstPrepared<LogRow & { hashes: Buffer | null }>(
      `${LOG}, tile.hashes FROM log
       LEFT JOIN log_tile tile ON tile.log_id = $3 AND tile.level = 0 AND tile.index = $4
       WHERE ${FOR_READERS}`,
      [...forReader(actor, logId), tile.index],
    );
    const { hashes, ...log } = known(row);
    if (hashes !== null) this.#tiles.set(logId, tile, hashes);
    return log;
  }

  /**
   * The log and number of an entry, by its number in that log or by its place in the history of a site
   * or of the studio. A number alone is of the log that is named; a place names its epoch itself.
   * @throws {Problem} `log-unknown`, `entry-unknown` where place and log name two epochs
   */
  async logAt(actor: Actor, logId: string, place: number): Promise<{ log: LogRow; seq: number }> {
    const named = logNamed(logId, place);
    return { log: await this.log(actor, named.logId), seq: named.seq };
  }

  /** As {@link logAt}, with what a proof of the entry needs. @throws {Problem} as `logAt` */
  async logToProve(
    actor: Actor,
    logId: string,
    place: number,
  ): Promise<{ log: LogRow; seq: number }> {
    const named = logNamed(logId, place);
    return { log: await this.logForProof(actor, named.logId, named.seq), seq: named.seq };
  }

  /**
   * A signed head with the cosignatures kept for it: the newest, unless one is named; empty text
   * before the first entry.
   * @throws {Problem} `checkpoint-unknown`
   */
  async checkpoint(
    log: LogRow,
    { size, isSeen = false }: { size?: number | undefined; isSeen?: boolean } = {},
  ): Promise<string> {
    if (isSeen) {
      const seen = await newestSeen(this.#tx, log);
      if (seen === undefined)
        throw new Problem('checkpoint-unknown', 'No witness has cosigned this log yet.');
      return seen.note;
    }
    const row = await this.#tx.first<{ size: number; note: string }>(
      `SELECT size, note FROM checkpoint WHERE log_id = $1 AND ($2::bigint IS NULL OR size = $2)
       ORDER BY size DESC LIMIT 1`,
      [log.logId, size ?? null],
    );
    if (row !== undefined)
      return withCosignatures(this.#tx, { origin: row.note.split('\n')[0]!, ...row });
    if (size === undefined) return '';
    throw new Problem(
      'checkpoint-unknown',
      `No checkpoint was signed when the log had ${size} entries: entries that came together share one.`,
      { field: 'size' },
    );
  }

  entries(log: LogRow, from: number, limit: number, typeStart = ''): Promise<EntryRow[]> {
    return this.#tx.query<EntryRow>(
      `SELECT * FROM entry WHERE log_id = $1 AND seq >= $2 AND starts_with(type, $4)
       ORDER BY seq LIMIT $3`,
      [log.logId, from, limit, typeStart],
    );
  }

  /** Entries about the log's keys among the first `size`. @throws {Problem} `proof-unavailable` */
  keyEntries(log: LogRow, size: number): Promise<EntryRow[]> {
    this.#checkSize(log, size, 'size');
    return this.#tx.query<EntryRow>(
      `SELECT e.* FROM key_event k JOIN entry e ON e.log_id = k.log_id AND e.seq = k.seq
       WHERE k.log_id = $1 AND k.seq < $2 ORDER BY k.seq`,
      [log.logId, size],
    );
  }

  async inclusion(log: LogRow, seq: number, size: number) {
    this.#checkSize(log, size, 'size');
    if (seq >= size)
      throw unavailable(`seq: the tree of ${size} entries has none of number ${seq}.`, 'seq');
    const reader = this.#reader(log);
    // The path first: its tiles are read at once, and the leaf lies in one of them.
    const hashes = await inclusionProof(reader, seq, size, hasher);
    const [leafHash] = await reader.readHashes([{ level: 0, index: seq }]);
    return {
      ...logOf(log),
      seq,
      size,
      leafHash: base64(leafHash!),
      rootHash: base64(await rootOf(log, reader, size)),
      hashes: hashes.map(base64),
    };
  }

  async consistency(log: LogRow, from: number, to: number) {
    this.#checkSize(log, to, 'to');
    if (from > to) throw unavailable(`from: ${from} is more than ${to}.`, 'from');
    const reader = this.#reader(log);
    const hashes = await consistencyProof(reader, from, to, hasher);
    return {
      ...logOf(log),
      from,
      to,
      fromRootHash: base64(await rootOf(log, reader, from)),
      rootHash: base64(await rootOf(log, reader, to)),
      hashes: hashes.map(base64),
    };
  }

  /**
   * A tile of hashes or a bundle of entries by its path below `tile/`.
   * @throws {Problem} `tile-unknown`
   */
  async tile(log: LogRow, path: string): Promise<Buffer> {
    const tile = parseTilePath(path);
    if (tile === undefined) {
      throw new Problem(
        'tile-unknown',
        'Expected level (or entries) and number in groups of three digits, all but the last after an x: 0/x001/067, 1/000.p/12, entries/003.',
      );
    }
    const { level, index, width } = tile;
    const there = tileWidth({ level: level ?? 0, index }, log.size);
    if (width > there) {
      throw new Problem(
        'tile-unknown',
        `The log has ${log.size} entries; this tile holds ${there} of the ${width} asked for.`,
      );
    }
    if (level === null) {
      const rows = await this.entries(log, index * TILE_WIDTH, width);
      return Buffer.from(bundleBytes(rows.map((row) => row.bytes)));
    }
    const [hashes] = await readTiles(this.#tx, log.logId, [{ level, index }]);
    return hashes!.subarray(0, width * HASH_BYTES);
  }

  #checkSize(log: LogRow, size: number, field: string): void {
    if (size >= 1 && size <= log.size) return;
    throw unavailable(
      `${field}: the log has ${log.size} entries. Ask for a size from 1 to that.`,
      field,
    );
  }

  #reader(log: LogRow): HashReader {
    return new TileReader(this.#tx, log.logId, this.#tiles);
  }
}

/** @throws {Problem} `entry-unknown` where place and log name two epochs */
function logNamed(logId: string, place: number): { logId: string; seq: number } {
  const { epoch, seq } = readPlace(place);
  if (epoch === 1) return { logId, seq };
  const named = readLogId(logId);
  if (named.epoch === 1 || named.epoch === epoch)
    return { logId: epochLogId(named.line, epoch), seq };
  throw new Problem(
    'entry-unknown',
    `You ask for ${entryName(place)}, and for the log of epoch ${named.epoch}. Leave out one of the two.`,
  );
}

function forReader(actor: Actor, logId: string): unknown[] {
  const sites = readableSites(actor);
  return [sites === 'all', sites === 'all' ? [] : sites, logId];
}

/** @throws {Problem} `log-unknown` */
function known<R>(row: R | undefined): R {
  if (row !== undefined) return row;
  throw new Problem('log-unknown', 'No log that you may read has this id. /v1/logs lists them.');
}

/** Which log of a history an answer is of. */
const logOf = ({ logId, origin, epoch }: LogRow) => ({ logId, origin, epoch });

async function rootOf(log: LogRow, reader: HashReader, size: number): Promise<Uint8Array> {
  return size === log.size ? log.rootHash : rootFrom(reader, size, hasher);
}

export function base64(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('base64');
}

function unavailable(detail: string, field: string): Problem {
  return new Problem('proof-unavailable', detail, { field });
}
