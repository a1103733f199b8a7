/** What every way to a next revision of the lead drawing shares: its entry, its rows, its answer. */
import { z } from 'zod';
import { type BuildNetOptions, buildNet, type Net, NetError, type NetSketch } from '#libs/net';
import { Problem } from '#libs/problem';
import type { ObjectRef, PrepareContext, ProjectedEntry, ProjectionPorts } from '../command.js';
import { changeSentence, type NetSummary, netSummary } from '../net-summary.js';
import type { PanelPlace } from '../place.js';
import type { NetReading, NetRevisionRow } from '../rows.js';
import { xyMmSchema, xyPxSchema } from '../shapes.js';
import { getJson, getNet } from '../stored-json.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { netRevisionView } from '../views/net-view.js';
import { without } from '../without.js';
import { lastEntryAbout } from './superseded.js';

const matrixSchema = z.array(z.number()).length(9).describe('3 × 3, row by row');

/** The flattened picture, already in the object store. */
export const rectifiedSchema = z.strictObject({
  digest: z.string().regex(/^sha256:[0-9a-f]{64}$/),
  sizeBytes: z.int().min(0),
  widthPx: z.int().min(1),
  heightPx: z.int().min(1),
  imageFromPanel: matrixSchema.describe('panel mm → px of the flattened picture'),
});

/** How one picture of the sheet lies in the panel's frame, as the reading found it. */
export const sheetPlacementSchema = z.strictObject({
  mediaId: z.uuid(),
  imageFromPanel: matrixSchema.describe('panel mm → px of the upright original'),
  points: z
    .array(
      z.strictObject({
        imageXyPx: xyPxSchema,
        panelXyMm: xyMmSchema,
        residualMm: z.number().min(0),
        name: z.string().max(40).optional(),
      }),
    )
    .max(2000),
  rmsMm: z.number().min(0),
});

type SheetPlacement = z.infer<typeof sheetPlacementSchema>;

/** Where a revision comes from, and what was said of it. */
export interface NetSource {
  readonly rubbingId: string | null;
  readonly mediaIds: readonly string[];
  readonly note: string | null;
  /** the flattened picture of the sheet, if the machine read it */
  readonly rectified: z.infer<typeof rectifiedSchema> | null;
  /** of the pictures that it was read from; those that are many stand in the object */
  readonly placements: readonly SheetPlacement[];
  readonly placementsObject: string | null;
}

export interface NetPayload extends NetSource {
  panelId: string;
  revision: number;
  netDigest: string;
  face: string;
  layer: string;
  surface: string;
  madeBy: string;
  summary: NetSummary;
  change: string | null;
}

/** A revision that nothing was read for: what the hand or a file made. */
export function madeWithoutReading(before: NetRevisionRow | undefined, note: string): NetSource {
  return {
    rubbingId: before?.rubbingId ?? null,
    mediaIds: before?.mediaIds ?? [],
    note,
    rectified: null,
    placements: [],
    placementsObject: null,
  };
}

/** The next revision of a panel's drawing, as the entry says it. */
export function decidedNet(
  place: PanelPlace,
  net: Net,
  object: ObjectRef,
  change: string | null,
  source: NetSource,
  furtherObjects: readonly ObjectRef[] = [],
) {
  const { rectified } = source;
  const payload: NetPayload = {
    panelId: place.panelId,
    revision: (place.netRevision ?? 0) + 1,
    netDigest: object.digest,
    face: net.face,
    layer: net.layer,
    surface: net.surface,
    madeBy: `${net.madeBy.name}/${net.madeBy.version}`,
    summary: netSummary(net),
    change,
    ...source,
  };
  return {
    log: { siteId: place.siteId },
    subject: place.fullMark,
    happened: null,
    payload,
    objects: [
      object,
      ...(rectified === null
        ? []
        : [{ digest: rectified.digest, sizeBytes: rectified.sizeBytes, role: 'rectified' }]),
      ...furtherObjects,
    ],
  };
}

/** The entry of the revision that the next one of its layer follows. */
export async function supersededRevision(
  tx: Tx,
  place: PanelPlace,
  before: NetRevisionRow | undefined,
): Promise<{ supersedes?: { seq: number } }> {
  if (before === undefined) return {};
  const { panelId, revision } = before;
  const types = ['net.revise', 'net.import', 'net.extract'];
  return lastEntryAbout(tx, place.siteId, place.fullMark, types, { panelId, revision });
}

/** Writes the revision's row, the panel's newest revision and what the reading found of its pictures. */
export async function projectNet(
  entry: ProjectedEntry<NetPayload>,
  tx: Tx,
  { objects }: ProjectionPorts,
): Promise<void> {
  const { panelId, revision, netDigest, rectified, summary, ...said } = entry.payload;
  const siteId = entry.siteId!;
  await putRow(tx, 'net_revision', {
    siteId,
    panelId,
    revision,
    rubbingId: said.rubbingId,
    mediaId: said.mediaIds[0] ?? null,
    mediaIds: [...said.mediaIds],
    objectDigest: netDigest,
    face: said.face,
    layer: said.layer,
    surface: said.surface,
    madeBy: said.madeBy,
    note: said.note,
    change: said.change,
    reading:
      said.madeBy.startsWith('rubbing/') || rectified !== null
        ? {
            revision,
            netDigest,
            rectified: rectified === null ? null : without(rectified, 'sizeBytes'),
          }
        : await readingBefore(tx, entry.payload),
    summary,
    recordedBy: entry.actorId,
    signedAt: null,
    signedBy: null,
    signedDoubts: null,
    recordedAt: entry.recordedAt,
  });
  await changeRows(tx, 'panel', { panelId }, { netRevision: revision, version: entry.seq });
  const placements =
    said.placementsObject === null
      ? said.placements
      : ((await getJson(objects, said.placementsObject)) as readonly SheetPlacement[]);
  for (const { mediaId, imageFromPanel, points, rmsMm } of placements) {
    await putRow(tx, 'placement', {
      siteId,
      panelId,
      mediaId,
      imageFromPanel,
      points,
      rmsMm,
      source: 'rubbing',
      version: entry.seq,
    });
  }
}

/** A drawing edited by hand still lies on the sheet that it was read from. */
async function readingBefore(tx: Tx, payload: NetPayload): Promise<NetReading | null> {
  if (payload.rubbingId === null) return null;
  const before = await revisionOfLayer(tx, payload.panelId, payload.layer, payload.revision);
  return before?.rubbingId === payload.rubbingId ? (before.reading as NetReading | null) : null;
}

export async function answerNet(
  { payload, seq }: ProjectedEntry<{ panelId: string; revision: number }>,
  tx: Tx,
) {
  const row = await revisionRow(tx, payload.panelId, payload.revision);
  return { ...netRevisionView(row!), version: seq };
}

export async function revisionRow(
  tx: Tx,
  panelId: string,
  revision: number | null,
): Promise<NetRevisionRow | undefined> {
  return revision === null ? undefined : findRow(tx, 'net_revision', { panelId, revision });
}

/** The newest revision of one layer, or the newest that is older than a given one. */
export async function revisionOfLayer(
  tx: Tx,
  panelId: string,
  layer: string,
  before = Infinity,
): Promise<NetRevisionRow | undefined> {
  const rows = await findRows(tx, 'net_revision', { panelId, layer }, 'ORDER BY revision DESC');
  return rows.find(({ revision }) => revision < before);
}

/**
 * What differs from a stored revision; read again only when it is another than the one prepared with.
 */
export async function changeSince(
  objects: PrepareContext['objects'],
  before: NetRevisionRow | undefined,
  net: Net,
  known: { digest: string | null; change: string | null },
): Promise<string | null> {
  if ((before?.objectDigest ?? null) === known.digest) return known.change;
  return before === undefined
    ? null
    : changeSentence(await getNet(objects, before.objectDigest), net);
}

/** @throws {Problem} `sketch-invalid` with the place that does not close */
export function builtNet(sketch: NetSketch, options: BuildNetOptions): Net {
  try {
    return buildNet(sketch, options);
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
