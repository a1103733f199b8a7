import { Controller } from '@nestjs/common';
import { Archive, without } from '#libs/archive';
import { epochSentence, placeInHistory } from '#libs/ledger';
import { Problem } from '#libs/problem';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { base64, type EntryRow, LedgerReader, type LogRow } from './ledger.reader.js';
import * as routes from './ledger.routes.js';

@Controller()
export class LedgerController {
  constructor(
    private readonly archive: Archive,
    private readonly ledger: LedgerReader,
  ) {}

  @Route(routes.listLogs)
  async listLogs(@Asked() { actor }: AskedFor<typeof routes.listLogs>) {
    const { publicKey, fingerprint } = await this.archive.keyInForce();
    return {
      verifierKey: { publicKey: base64(publicKey), fingerprint },
      items: (await this.ledger.logs(actor)).map(logView),
      next: null,
    };
  }

  @Route(routes.checkpoint)
  async checkpoint(@Asked() { actor, params, query, reply }: AskedFor<typeof routes.checkpoint>) {
    const log = await this.ledger.log(actor, params.logId);
    const note = await this.ledger.checkpoint(log, {
      size: query.size,
      isSeen: query.seen === 'true',
    });
    void reply.type('text/plain; charset=utf-8');
    return note;
  }

  @Route(routes.listEntries)
  async listEntries(@Asked() { actor, params, query }: AskedFor<typeof routes.listEntries>) {
    const { log, seq } = await this.ledger.logAt(actor, params.logId, query.from);
    const rows = await this.ledger.entries(log, seq, query.limit + 1, query.typeStart);
    const items = rows.slice(0, query.limit).map((row) => entryView(row, log));
    const following = rows[query.limit]?.seq;
    return {
      items,
      next: following === undefined ? null : String(placeInHistory(log.epoch, following)),
    };
  }

  @Route(routes.entry)
  async entry(@Asked() { actor, params }: AskedFor<typeof routes.entry>) {
    const { log, seq } = await this.ledger.logAt(actor, params.logId, params.seq);
    const [row] = await this.ledger.entries(log, seq, 1);
    if (row?.seq !== seq) {
      throw new Problem(
        'entry-unknown',
        `The log has ${log.size} entries, from 0 to ${log.size - 1}.`,
      );
    }
    return entryView(row, log);
  }

  @Route(routes.logKeys)
  async logKeys(@Asked() { actor, params, query }: AskedFor<typeof routes.logKeys>) {
    const log = await this.ledger.log(actor, params.logId);
    const size = query.size ?? log.size;
    const items = [];
    for (const row of await this.ledger.keyEntries(log, size)) {
      const { hashes } = await this.ledger.inclusion(log, row.seq, size);
      items.push({ ...entryView(row, log), hashes });
    }
    return { size, items };
  }

  @Route(routes.inclusion)
  async inclusion(@Asked() { actor, params, query }: AskedFor<typeof routes.inclusion>) {
    const { log, seq } = await this.ledger.logToProve(actor, params.logId, query.seq);
    return this.ledger.inclusion(log, seq, query.size ?? log.size);
  }

  @Route(routes.logTile)
  async logTile(@Asked() { actor, params, reply }: AskedFor<typeof routes.logTile>) {
    const log = await this.ledger.log(actor, params.logId);
    const bytes = await this.ledger.tile(log, params.files);
    void reply.type('application/octet-stream');
    // What a path names never changes: a tile that grew has another path.
    void reply.header('Cache-Control', 'private, max-age=31536000, immutable');
    return bytes;
  }

  @Route(routes.consistency)
  async consistency(@Asked() { actor, params, query }: AskedFor<typeof routes.consistency>) {
    const log = await this.ledger.logForProof(actor, params.logId, query.from);
    return this.ledger.consistency(log, query.from, query.to ?? log.size);
  }

  /** Whoever may read the log may hold one of its checkpoints against it. */
  @Route(routes.known)
  async known(@Asked() { actor, params, body }: AskedFor<typeof routes.known>) {
    await this.ledger.log(actor, params.logId);
    const said = await this.archive.consider(body.checkpoint, 'client');
    return said.state === 'contained'
      ? {
          ...said,
          seq: null,
          isNew: false,
          says: 'The log holds everything that this checkpoint commits to.',
        }
      : { ...without(said, 'told'), says: epochSentence(said.told) };
  }
}

function logView(log: LogRow) {
  const { logId, origin, siteId, epoch, isClosed, size } = log;
  return {
    logId,
    origin,
    siteId,
    epoch,
    closed: isClosed,
    size,
    rootHash: base64(log.rootHash),
    lastAt: log.lastAt.toISOString(),
  };
}

function entryView(row: EntryRow, { origin, epoch }: LogRow) {
  const { logId, seq, type, subject, actorId, happened } = row;
  return {
    logId,
    origin,
    epoch,
    seq,
    place: placeInHistory(epoch, seq),
    type,
    subject,
    actorId,
    happened,
    recordedAt: row.recordedAt.toISOString(),
    leafHash: row.leafHash.toString('hex'),
    bytes: base64(row.bytes),
  };
}
