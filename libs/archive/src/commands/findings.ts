import { z } from 'zod';
import { Problem } from '#libs/problem';
import {
  type FindingTerm,
  findingTerm,
  type Measure,
  measureFinding,
  measureText,
  QUANTITY_UNITS,
  type Quantity,
  VocabularyError,
} from '#libs/vocabulary';
import {
  type CommandContext,
  defineCommand,
  type PrepareContext,
  type ProjectedEntry,
  type ProjectionPorts,
} from '../command.js';
import { drawnTargets } from '../drawn-targets.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { entryAt } from '../log-head.js';
import { panelPoints } from '../picture-points.js';
import { checkMedia, type PanelPlace, panelPlace, siteOf } from '../place.js';
import {
  checkedPoints,
  type Geometry,
  namedTarget,
  pieceUnder,
  type TargetPiece,
  type Targets,
  targetsOfTracings,
} from '../placed-geometry.js';
import type { FindingRow } from '../rows.js';
import { forgetFindable, makeFindable } from '../search-row.js';
import { shownBy } from '../search-shows.js';
import { faceSchema, idSchema, layerSchema, noteText, xyMmSchema, xyPxSchema } from '../shapes.js';
import { getJson, inlineOrObject } from '../stored-json.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { findingView, GEOMETRY_KINDS } from '../views/finding-view.js';
import { without } from '../without.js';
import { revisionRow } from './net-revision.js';
import { takeBack } from './take-back.js';

const kind = z.enum(GEOMETRY_KINDS);
const POINTS_MAX = 5000;

export const findingBody = z.strictObject({
  term: z.string().min(1).max(100).describe('key of the vocabulary, e.g. glass.crack.simple'),
  inPanel: z
    .string()
    .min(1)
    .max(20)
    .optional()
    .describe('17, L12 or J4; left out: found from the geometry'),
  geometry: z.union([
    z.strictObject({ kind, xyMm: z.array(xyMmSchema).min(1).max(POINTS_MAX) }),
    z.strictObject({
      kind,
      mediaId: idSchema.describe('a picture that is laid under the panel'),
      xyPx: z.array(xyPxSchema).min(1).max(POINTS_MAX),
    }),
  ]),
  face: faceSchema,
  layer: layerSchema.default('front'),
  netRevision: z
    .int()
    .min(1)
    .optional()
    .describe('lead drawing it is placed on; left out: the signed one, else the newest'),
  entered: z
    .partialRecord(z.enum(Object.keys(QUANTITY_UNITS) as [Quantity]), z.number().min(0))
    .optional()
    .describe('what the term asks to be measured by hand, e.g. depth in mm'),
  evidence: z.array(idSchema).max(50).default([]).describe('mediaIds'),
  happened: happenedSchema.optional().describe('when it was seen, EDTF'),
  note: noteText.optional(),
});

export const recordFindingBody = findingBody.extend({
  findingId: idSchema
    .optional()
    .describe(
      'made by a device on which the finding was written down: whoever sends it from whichever device, it is recorded once',
    ),
});

type FindingBody = z.infer<typeof findingBody>;

interface FindingPayload {
  findingId: string;
  panelId: string;
  inPanel: string | null;
  term: string;
  /** null: in the object `geometryDigest` */
  geometry: Geometry | null;
  geometryDigest: string | null;
  measure: Measure & { entered?: Record<string, number> };
  face: string;
  layer: string;
  netRevision: number | null;
  evidence: string[];
  note: string | null;
  /** picture that it was drawn on */
  drawnOn: string | null;
}

type Placed = Omit<FindingPayload, 'findingId' | 'geometry' | 'geometryDigest'> & {
  geometry: Geometry;
};

export const recordFinding = defineCommand({
  type: 'finding.record',
  body: recordFindingBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  prepare: ({ panelId, ...said }, ports) => placed(panelId, said, ports),
  async decide({ panelId, findingId, ...said }, ctx, prepared) {
    const place = await panelPlace(ctx.tx, panelId);
    if (findingId !== undefined) await refuseKnown(ctx.tx, findingId, place.siteId);
    return decided(place, findingId ?? ctx.newId(), said, prepared, ctx);
  },
  project: projectFinding,
  answer: answerFinding,
});

/** A correction: the new entry supersedes the one before; the finding keeps its id. */
export const reviseFinding = defineCommand({
  type: 'finding.revise',
  body: findingBody.extend({ findingId: idSchema }),
  role: 'recorder',
  target: 'finding',
  siteOf: ({ findingId }, tx) => siteOf(tx, 'finding', findingId),
  async prepare({ findingId, ...said }, ports) {
    return placed((await findingRow(ports.tx, findingId)).panelId, said, ports);
  },
  async decide({ findingId, ...said }, ctx, prepared) {
    const row = await openFinding(ctx.tx, findingId);
    ctx.expectVersion(row.version);
    const place = await panelPlace(ctx.tx, row.panelId);
    return {
      ...(await decided(place, findingId, said, prepared, ctx)),
      supersedes: { seq: Number(row.entrySeq) },
    };
  },
  project: projectFinding,
  answer: answerFinding,
});

export const withdrawFindingBody = z.strictObject({ reason: noteText });

export const withdrawFinding = defineCommand({
  type: 'finding.withdraw',
  body: withdrawFindingBody.extend({ findingId: idSchema }),
  role: 'recorder',
  target: 'finding',
  siteOf: ({ findingId }, tx) => siteOf(tx, 'finding', findingId),
  async decide({ findingId, reason }, ctx) {
    const row = await openFinding(ctx.tx, findingId);
    const subject = subjectOf(await panelPlace(ctx.tx, row.panelId), row.inPanel);
    return takeBack(ctx, row, { subject, payload: { findingId, reason } });
  },
  async project(entry, tx) {
    const { findingId } = entry.payload;
    await changeRows(
      tx,
      'finding',
      { findingId },
      { state: 'withdrawn', entrySeq: entry.seq, version: entry.seq },
    );
    await forgetFindable(tx, entry.siteId!, 'finding', findingId);
  },
  answer: answerFinding,
});

async function decided(
  place: PanelPlace,
  findingId: string,
  { happened, evidence }: FindingBody,
  { geometry, ...prepared }: Placed,
  ctx: CommandContext,
) {
  await checkMedia(ctx.tx, place.siteId, evidence, 'evidence');
  const checkedHappened = checkedEdtf(happened);
  // Last: bytes of a finding that is refused shall not lie in the store.
  const kept = await inlineOrObject(ctx.objects, geometry, 'geometry');
  const payload: FindingPayload = {
    findingId,
    ...prepared,
    geometry: kept.object === null ? geometry : null,
    geometryDigest: kept.object?.digest ?? null,
  };
  return {
    log: { siteId: place.siteId },
    subject: subjectOf(place, payload.inPanel),
    happened: checkedHappened,
    payload,
    objects: kept.object === null ? [] : [kept.object],
  };
}

async function placed(panelId: string, said: FindingBody, ports: PrepareContext): Promise<Placed> {
  const { tx } = ports;
  const term = knownTerm(said.term);
  const place = await panelPlace(tx, panelId);
  const drawn = said.geometry;
  const xyMm =
    'xyMm' in drawn ? drawn.xyMm : await panelPoints(tx, panelId, drawn.mediaId, drawn.xyPx);
  const geometry: Geometry = { kind: drawn.kind, xyMm: checkedPoints(xyMm) };
  const { targets, netRevision } = await targetsFor(place, said, ports);
  const piece =
    said.inPanel === undefined ? pieceUnder(geometry, targets) : namedTarget(said.inPanel, targets);
  // Asked here too, so that a batch asks it of all its findings at once.
  await shownBy(tx, panelId, said.inPanel ?? piece?.mark ?? null);
  return {
    panelId,
    inPanel: said.inPanel ?? piece?.mark ?? null,
    term: term.key,
    geometry,
    measure: {
      ...measured(term, geometry, piece ?? undefined),
      ...(said.entered === undefined ? {} : { entered: checkedEntered(term, said.entered) }),
    },
    face: said.face,
    layer: said.layer,
    netRevision,
    evidence: said.evidence,
    note: said.note ?? null,
    drawnOn: 'mediaId' in drawn ? drawn.mediaId : null,
  };
}

/** The drawing that the finding is placed on; before there is one, the provisional pieces. */
async function targetsFor(
  place: PanelPlace,
  said: FindingBody,
  { tx, objects }: PrepareContext,
): Promise<{ targets: Targets; netRevision: number | null }> {
  const revision = said.netRevision ?? place.signedRevision ?? place.netRevision;
  const drawing = await revisionRow(tx, place.panelId, revision);
  if (drawing !== undefined) {
    return { targets: await drawnTargets(objects, drawing.objectDigest), netRevision: revision };
  }
  if (said.netRevision !== undefined) throw unknown('net');
  const tracings = await findRows(tx, 'piece', {
    panelId: place.panelId,
    provisional: true,
    retired: false,
  });
  return { targets: targetsOfTracings(tracings), netRevision: null };
}

function knownTerm(key: string): FindingTerm {
  const term = findingTerm(key);
  if (term !== undefined) return term;
  throw new Problem(
    'term-unknown',
    `term: there is no ${JSON.stringify(key)}. /v1/terms lists them.`,
    { field: 'term' },
  );
}

function measured(term: FindingTerm, geometry: Geometry, piece: TargetPiece | undefined): Measure {
  try {
    return measureFinding(term, geometry, piece?.shareRingsMm);
  } catch (cause) {
    if (!(cause instanceof VocabularyError)) throw cause;
    throw new Problem(
      'geometry-invalid',
      `geometry: ${cause.message}.`,
      { field: 'geometry' },
      { cause },
    );
  }
}

function checkedEntered(term: FindingTerm, entered: Partial<Record<Quantity, number>>) {
  for (const quantity of Object.keys(entered)) {
    if (term.quantities.includes(quantity as Quantity)) continue;
    throw new Problem(
      'geometry-invalid',
      `entered.${quantity}: ${term.label} is told by ${term.quantities.join(', ')}. Put other figures into the note.`,
      { field: `entered.${quantity}` },
    );
  }
  return entered as Record<string, number>;
}

async function findingRow(tx: Tx, findingId: string): Promise<FindingRow> {
  const row = await findRow(tx, 'finding', { findingId });
  if (row === undefined) throw unknown('finding');
  return row;
}

/** Two devices that hold one finding, an export of one taken up by another, record it once. */
async function refuseKnown(tx: Tx, findingId: string, siteId: string): Promise<void> {
  const row = await findRow(tx, 'finding', { findingId });
  if (row === undefined) return;
  throw new Problem(
    'finding-known',
    'findingId: this finding is in the archive already; it is recorded once.',
    row.siteId === siteId ? { findingId, ...entryAt(siteId, Number(row.entrySeq)) } : {},
  );
}

async function openFinding(tx: Tx, findingId: string): Promise<FindingRow> {
  const row = await findingRow(tx, findingId);
  if (row.state === 'recorded') return row;
  throw new Problem(
    'finding-closed',
    `This finding is ${row.state}. Record a new one if it is to stand.`,
    { state: row.state },
  );
}

function subjectOf(place: PanelPlace, inPanel: string | null): string {
  return inPanel === null ? place.fullMark : `${place.fullMark}.${inPanel}`;
}

async function projectFinding(
  entry: ProjectedEntry<FindingPayload>,
  tx: Tx,
  { objects }: ProjectionPorts,
): Promise<void> {
  const { geometry, geometryDigest, ...payload } = without(entry.payload, 'drawnOn');
  const before =
    entry.type === recordFinding.type
      ? undefined
      : await findRow(tx, 'finding', { findingId: payload.findingId });
  await putRow(tx, 'finding', {
    siteId: entry.siteId!,
    ...payload,
    geometry: geometry ?? (await getJson(objects, geometryDigest!)),
    authorId: entry.actorId,
    happened: entry.happened,
    state: 'recorded',
    supersededBy: null,
    entrySeq: entry.seq,
    recordedAt: before?.recordedAt ?? entry.recordedAt,
    version: entry.seq,
  });
  const { windowMark } = await panelPlace(tx, payload.panelId);
  const term = knownTerm(payload.term);
  await makeFindable(tx, entry, {
    kind: 'finding',
    rowId: payload.findingId,
    subject: entry.subject!,
    windowMark,
    title: `${entry.subject!}: ${term.label}`,
    text: [term.label, measureText(payload.measure), payload.note],
    facts: { term: term.key, shows: [await shownBy(tx, payload.panelId, payload.inPanel)] },
  });
}

async function answerFinding({ payload }: ProjectedEntry<{ findingId: string }>, tx: Tx) {
  return findingView(await findingRow(tx, payload.findingId));
}
