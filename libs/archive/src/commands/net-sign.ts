import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand, type ProjectedEntry, type ProjectionPorts } from '../command.js';
import { uuidOfName } from '../id.js';
import { pieceMarkOf, sortKeyOfPiece } from '../marks.js';
import { type NetSummary } from '../net-summary.js';
import { keepGenerations } from '../piece-findable.js';
import { panelPlace, siteOf } from '../place.js';
import { idSchema } from '../shapes.js';
import { getNet } from '../stored-json.js';
import { changeRows, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { answerNet, revisionRow } from './net-revision.js';

interface SignPayload {
  panelId: string;
  revision: number;
  netDigest: string;
  layer: string;
  /** what nobody had answered when it was signed */
  openDoubts: { leads: number; places: number };
}

/**
 * The drawing becomes the panel's: its pieces get their numbers for ever. Open doubts do not stand
 * in the way; how many there were is part of what is signed.
 */
export const signNet = defineCommand({
  type: 'net.sign',
  body: z.strictObject({ panelId: idSchema, revision: z.int().min(1) }),
  role: 'conservator',
  target: 'panel',
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, revision }, ctx) {
    const place = await panelPlace(ctx.tx, panelId);
    const row = await revisionRow(ctx.tx, panelId, revision);
    if (row === undefined) throw unknown('net');
    if (row.signedAt !== null) {
      throw new Problem(
        'net-signed',
        `Revision ${revision} is signed already. Nothing needs to be done.`,
      );
    }
    const newer = (await findRows(ctx.tx, 'net_revision', { panelId, layer: row.layer })).find(
      (other) => other.signedAt !== null && other.revision > revision,
    );
    if (newer !== undefined) {
      throw new Problem(
        'net-signed',
        `Revision ${newer.revision} is newer and signed. To go back to revision ${revision}, save it as a new revision and sign that.`,
        { signedRevision: newer.revision },
      );
    }
    const { doubtful, doubtfulLeads } = row.summary as NetSummary;
    const payload: SignPayload = {
      panelId,
      revision,
      netDigest: row.objectDigest,
      layer: row.layer,
      openDoubts: { leads: doubtfulLeads, places: doubtful },
    };
    return { log: { siteId: place.siteId }, subject: place.fullMark, happened: null, payload };
  },
  project: projectSigned,
  answer: answerNet,
});

async function projectSigned(
  entry: ProjectedEntry<SignPayload>,
  tx: Tx,
  { objects }: ProjectionPorts,
): Promise<void> {
  const { panelId, revision, netDigest, layer, openDoubts } = entry.payload;
  await changeRows(
    tx,
    'net_revision',
    { panelId, revision },
    {
      signedAt: entry.recordedAt,
      signedBy: entry.actorId,
      signedDoubts: openDoubts.leads + openDoubts.places,
    },
  );
  // A back layer's plates are no pieces of their own: the front's numbers stand as they are.
  if (layer !== 'front') return;
  await changeRows(tx, 'panel', { panelId }, { signedRevision: revision, version: entry.seq });
  const net = await getNet(objects, netDigest);
  const before = await findRows(tx, 'piece', { panelId, provisional: false });
  const known = new Map(before.map((piece) => [piece.pieceId, piece]));
  for (const { pieceId: mark, centreRingMm, areaMm2 } of net.pieces) {
    const pieceId = pieceIdOf(panelId, mark);
    const old = known.get(pieceId);
    known.delete(pieceId);
    await putRow(tx, 'piece', {
      siteId: entry.siteId!,
      pieceId,
      panelId,
      mark,
      sortKey: sortKeyOfPiece(mark),
      provisional: false,
      ringMm: centreRingMm.flat(),
      areaMm2,
      shows: old?.shows ?? null,
      glass: old?.glass ?? null,
      carriedTo: null,
      retired: false,
      version: entry.seq,
    });
  }
  // A number is never given again: what is gone stays, retired.
  for (const pieceId of known.keys()) {
    await changeRows(tx, 'piece', { pieceId }, { retired: true, version: entry.seq });
  }
  const replacements = net.pieces.flatMap(({ pieceId: mark }) =>
    /^\d+r\d+$/.test(mark) ? [pieceMarkOf(entry.subject!, mark)] : [],
  );
  await keepGenerations(tx, entry, { subjects: replacements, operation: 'replace' });
}

/** A piece keeps its number for ever, so the number is its id within the panel. */
export function pieceIdOf(panelId: string, mark: string): string {
  return uuidOfName('piece', panelId, mark);
}
