import { z } from 'zod';
import { buildNet, type Net, NetError, netSchema, polylineLengthMm } from '#libs/net';
import { Problem } from '#libs/problem';
import {
  defineCommand,
  type ObjectRef,
  type PrepareContext,
  type ProjectedEntry,
  type ProjectionPorts,
} from '../command.js';
import { uuidOfName } from '../id.js';
import { sortKeyOfPiece } from '../marks.js';
import { checkMedia, type PanelPlace, panelPlace, siteOf } from '../place.js';
import { faceSchema, idSchema, layerSchema, noteText, xyMmSchema, xyPxSchema } from '../shapes.js';
import { getNet, putNet } from '../stored-json.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { netRevisionView } from '../views/net-view.js';

interface NetPayload {
  panelId: string;
  revision: number;
  rubbingId: string | null;
  mediaId: string | null;
  netDigest: string;
  face: string;
  layer: string;
  summary: NetSummary;
  note: string | null;
  /** the flattened picture of the sheet, if the machine read it */
  rectified: z.infer<typeof rectifiedSchema> | null;
  /** of the picture that it was read from */
  placement: z.infer<typeof sheetPlacement> | null;
}

export interface NetSummary {
  pieces: number;
  leads: number;
  joints: number;
  lengthMm: number;
  areaMm2: number;
  rmsMm: number | null;
  worstMark: string | null;
  doubtful: number;
}

export function netSummary(net: Net): NetSummary {
  const tenth = (value: number) => Math.round(value * 10) / 10;
  return {
    pieces: net.pieces.length,
    leads: net.leads.length,
    joints: net.joints.length,
    lengthMm: tenth(net.leads.reduce((sum, lead) => sum + polylineLengthMm(lead.lineMm), 0)),
    areaMm2: tenth(net.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0)),
    rmsMm: net.flatten?.rmsMm ?? null,
    worstMark: net.flatten?.worstMark ?? null,
    doubtful: net.doubtfulPlaces.length,
  };
}

const leadShape = netSchema.shape.leads.element.shape;

export const sketchSchema = z.strictObject({
  nodes: z
    .array(z.strictObject({ xyMm: xyMmSchema }))
    .min(2)
    .max(20_000),
  leads: z
    .array(
      z.strictObject({
        from: z.int().min(0).describe('place in nodes'),
        to: z.int().min(0),
        kind: leadShape.kind,
        lineMm: z.array(xyMmSchema).min(2).max(5000),
        faceWidthMm: leadShape.faceWidthMm,
        widthSpreadMm: leadShape.widthSpreadMm.default(0),
        confidenceP: leadShape.confidenceP.default(1),
        doubts: leadShape.doubts.default([]),
      }),
    )
    .min(1)
    .max(20_000),
});

export const reviseNetBody = z.strictObject({
  sketch: sketchSchema,
  note: noteText.describe('what was changed and why'),
  face: faceSchema.optional().describe('only for a first drawing; else as the one before'),
  layer: layerSchema.optional(),
  numbers: z
    .array(
      z.strictObject({
        atMm: xyMmSchema,
        number: z.int().min(1).max(9999),
        part: z
          .string()
          .regex(/^[a-z]{1,2}$/)
          .nullable()
          .optional(),
      }),
    )
    .max(2000)
    .optional()
    .describe('a person’s word: the piece at this place has this number'),
});

/** A person's revision of the lead drawing. `If-Match` is the last revision, 0 when there is none. */
export const reviseNet = defineCommand({
  type: 'net.revise',
  body: reviseNetBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async prepare(body, { tx, objects }) {
    const place = await panelPlace(tx, body.panelId);
    const earlier = await netOf(tx, objects, body.panelId, place.netRevision);
    const net = built(() =>
      buildNet(body.sketch, {
        face: body.face ?? earlier?.face ?? 'inside',
        layer: body.layer ?? earlier?.layer ?? 'front',
        surface: earlier?.surface ?? 'developed',
        ...(earlier === undefined
          ? {}
          : {
              heartMm: earlier.heartMm,
              clearanceMm: earlier.clearanceMm,
              flatten: earlier.flatten,
            }),
        madeBy: { name: 'hand', version: '1' },
        numbering: {
          ...(earlier === undefined ? {} : { earlier }),
          overrides: (body.numbers ?? []).map(({ part = null, ...rest }) => ({ ...rest, part })),
        },
      }),
    );
    return net;
  },
  async decide(body, ctx, net) {
    const place = await panelPlace(ctx.tx, body.panelId);
    ctx.expectVersion(place.netRevision ?? 0);
    const before = await revisionRow(ctx.tx, body.panelId, place.netRevision);
    return decided(place, net, await putNet(ctx.objects, net), {
      rubbingId: before?.rubbingId ?? null,
      mediaId: before?.mediaId ?? null,
      note: body.note,
      rectified: null,
      placement: null,
    });
  },
  project: projectNet,
  answer: answerNet,
});

const matrixSchema = z.array(z.number()).length(9).describe('3 × 3, row by row');

/** The flattened picture, already in the object store. */
export const rectifiedSchema = z.strictObject({
  digest: z.string().regex(/^sha256:[0-9a-f]{64}$/),
  sizeBytes: z.int().min(0),
  widthPx: z.int().min(1),
  heightPx: z.int().min(1),
  imageFromPanel: matrixSchema.describe('panel mm → px of the flattened picture'),
});

/** How the picture of the sheet lies in the panel's frame, as the extraction found it. */
const sheetPlacement = z.strictObject({
  imageFromPanel: matrixSchema.describe('panel mm → px of the upright original'),
  points: z
    .array(
      z.strictObject({
        imageXyPx: xyPxSchema,
        panelXyMm: xyMmSchema,
        residualMm: z.number().min(0),
      }),
    )
    .max(60),
  rmsMm: z.number().min(0),
});

/** What the worker read from the picture of a rubbing: the next revision, whatever the last one was. */
export const storeExtractedNet = defineCommand({
  type: 'net.extract',
  body: z.strictObject({
    panelId: idSchema,
    rubbingId: idSchema,
    mediaId: idSchema,
    net: netSchema,
    rectified: rectifiedSchema.nullable().default(null),
    placement: sheetPlacement.nullable().default(null),
    note: noteText.nullable().default(null),
  }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide(body, ctx) {
    const place = await panelPlace(ctx.tx, body.panelId);
    await checkMedia(ctx.tx, place.siteId, [body.mediaId], 'mediaId');
    if ((await findRow(ctx.tx, 'rubbing', { rubbingId: body.rubbingId })) === undefined) {
      throw unknown('rubbing');
    }
    // zod writes an absent optional member as `T | undefined`; the value has no such key.
    const net = body.net as Net;
    return decided(place, net, await putNet(ctx.objects, net), {
      rubbingId: body.rubbingId,
      mediaId: body.mediaId,
      note: body.note,
      rectified: body.rectified,
      placement: body.placement,
    });
  },
  project: projectNet,
  answer: answerNet,
});

function decided(
  place: PanelPlace,
  net: Net,
  object: ObjectRef,
  source: Pick<NetPayload, 'rubbingId' | 'mediaId' | 'note' | 'rectified' | 'placement'>,
) {
  const { rectified } = source;
  const payload: NetPayload = {
    panelId: place.panelId,
    revision: (place.netRevision ?? 0) + 1,
    netDigest: object.digest,
    face: net.face,
    layer: net.layer,
    summary: netSummary(net),
    ...source,
  };
  return {
    log: { siteId: place.siteId },
    subject: place.fullMark,
    happened: null,
    payload,
    objects: [object, ...(rectified === null ? [] : [rectifiedRef(rectified)])],
  };
}

function rectifiedRef({ digest, sizeBytes }: z.infer<typeof rectifiedSchema>): ObjectRef {
  return { digest, sizeBytes, role: 'rectified' };
}

async function projectNet(entry: ProjectedEntry<NetPayload>, tx: Tx): Promise<void> {
  const { panelId, revision, rubbingId, mediaId, netDigest, face, layer, summary } = entry.payload;
  await putRow(tx, 'net_revision', {
    siteId: entry.siteId!,
    panelId,
    revision,
    rubbingId,
    mediaId,
    objectDigest: netDigest,
    face,
    layer,
    summary,
    signedAt: null,
    signedBy: null,
    recordedAt: entry.recordedAt,
  });
  await changeRows(tx, 'panel', { panelId }, { netRevision: revision, version: entry.seq });
  const { placement, rectified } = entry.payload;
  if (placement !== null && mediaId !== null) {
    await putRow(tx, 'placement', {
      siteId: entry.siteId!,
      panelId,
      mediaId,
      imageFromPanel: placement.imageFromPanel,
      points: placement.points,
      rmsMm: placement.rmsMm,
      source: 'rubbing',
      version: entry.seq,
    });
  }
  if (rectified !== null) await keepRectified(tx, netDigest, rectified, entry.recordedAt);
}

// Kept under the net's own digest: another extraction of the same sheet has another flattened picture.
async function keepRectified(
  tx: Tx,
  netDigest: string,
  { digest, sizeBytes, widthPx, heightPx, imageFromPanel }: z.infer<typeof rectifiedSchema>,
  at: Date,
): Promise<void> {
  await tx.run(
    `INSERT INTO derivative (source_digest, kind, digest, size_bytes, width_px, height_px, provenance, made_at)
     VALUES ($1, 'rectified', $2, $3, $4, $5, $6, $7)
     ON CONFLICT (source_digest, kind) DO NOTHING`,
    [netDigest, digest, sizeBytes, widthPx, heightPx, JSON.stringify({ imageFromPanel }), at],
  );
}

async function answerNet(
  { payload, seq }: ProjectedEntry<{ panelId: string; revision: number }>,
  tx: Tx,
) {
  const row = await findRow(tx, 'net_revision', {
    panelId: payload.panelId,
    revision: payload.revision,
  });
  return { ...netRevisionView(row!), version: seq };
}

interface SignPayload {
  panelId: string;
  revision: number;
  netDigest: string;
}

/** The drawing becomes the panel's: its pieces get their numbers for ever. */
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
    const payload: SignPayload = { panelId, revision, netDigest: row.objectDigest };
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
  const { panelId, revision, netDigest } = entry.payload;
  const siteId = entry.siteId!;
  await changeRows(
    tx,
    'net_revision',
    { panelId, revision },
    {
      signedAt: entry.recordedAt,
      signedBy: entry.actorId,
    },
  );
  await changeRows(tx, 'panel', { panelId }, { signedRevision: revision, version: entry.seq });
  const net = await getNet(objects, netDigest);
  const before = await findRows(tx, 'piece', { panelId, provisional: false });
  const known = new Map(before.map((piece) => [piece.pieceId, piece]));
  for (const { pieceId: mark, centreRingMm, areaMm2 } of net.pieces) {
    const pieceId = pieceIdOf(panelId, mark);
    const old = known.get(pieceId);
    known.delete(pieceId);
    await putRow(tx, 'piece', {
      siteId,
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
}

/** A piece keeps its number for ever, so the number is its id within the panel. */
export function pieceIdOf(panelId: string, mark: string): string {
  return uuidOfName('piece', panelId, mark);
}

/** Net of a revision; undefined when the panel has none. */
export async function netOf(
  tx: Tx,
  objects: PrepareContext['objects'],
  panelId: string,
  revision: number | null,
): Promise<Net | undefined> {
  const row = await revisionRow(tx, panelId, revision);
  return row === undefined ? undefined : getNet(objects, row.objectDigest);
}

async function revisionRow(tx: Tx, panelId: string, revision: number | null) {
  return revision === null ? undefined : findRow(tx, 'net_revision', { panelId, revision });
}

function built(build: () => Net): Net {
  try {
    return build();
  } catch (cause) {
    if (!(cause instanceof NetError)) throw cause;
    throw new Problem(
      'sketch-invalid',
      `${cause.message}. Mend the drawing there and send it again.`,
      {
        field: 'sketch',
        fault: cause.fault,
        ...(cause.xyMm === null ? {} : { xMm: cause.xyMm[0], yMm: cause.xyMm[1] }),
      },
      { cause },
    );
  }
}
