import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { siteOf, sitePlace } from '../place.js';
import { idSchema, markText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { changeRows, findRow, putRow } from '../tables.js';
import { DOSSIER_KINDS, dossierView } from '../views/dossier-view.js';

export const DOSSIER_WRITE_QUEUE = 'dossier.write';

export const askDossierBody = z.strictObject({
  subject: markText.describe('site, window or panel, in full or from the window on'),
  kind: z
    .enum(DOSSIER_KINDS)
    .describe(
      'handed-out: pictures without place or serial numbers, no originals; keepers: everything',
    ),
});

/** Asks for a dossier of the state that this entry closes. */
export const askDossier = defineCommand({
  type: 'dossier.ask',
  body: askDossierBody.extend({ siteId: idSchema }),
  role: 'reader',
  status: 202,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, subject, kind }, ctx) {
    if (kind === 'keepers' && ctx.roleAt(siteId) !== 'keeper') {
      throw new Problem(
        'role-insufficient',
        'The keeper’s dossier holds everything, places too; only a keeper may have it made. Ask for the kind handed-out.',
        { field: 'kind', neededRole: 'keeper' },
      );
    }
    const [mark] = await checkedSubjects(ctx.tx, siteId, [subject], 'subject');
    const payload = {
      dossierId: ctx.newId(),
      siteId,
      subject: mark!,
      kind,
      jobId: ctx.newId(),
    };
    return {
      log: { siteId },
      subject: mark!,
      happened: null,
      payload,
      jobs: [
        {
          queue: DOSSIER_WRITE_QUEUE,
          jobId: payload.jobId,
          siteId,
          subject: mark!,
          data: { dossierId: payload.dossierId },
        },
      ],
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'dossier', {
      ...entry.payload,
      digest: null,
      sizeBytes: null,
      askedBy: entry.actorId,
      askedAt: entry.recordedAt,
      madeAt: null,
      problem: null,
    });
  },
  answer: ({ payload: { dossierId, jobId } }) => Promise.resolve({ dossierId, jobId }),
});

/** The worker has written it; the bytes are in the object store. */
export const keepDossier = defineCommand({
  type: 'dossier.keep',
  body: z.strictObject({
    dossierId: idSchema,
    digest: z.string().regex(/^sha256:[0-9a-f]{64}$/),
    sizeBytes: z.int().min(1),
  }),
  role: 'reader',
  target: 'dossier',
  status: 201,
  siteOf: ({ dossierId }, tx) => siteOf(tx, 'dossier', dossierId),
  async decide(body, ctx) {
    const row = (await findRow(ctx.tx, 'dossier', { dossierId: body.dossierId }))!;
    if (row.askedBy !== ctx.actorId) {
      throw new Problem('role-insufficient', 'Only who asked for a dossier may have it kept.');
    }
    return {
      log: { siteId: row.siteId },
      subject: row.subject,
      happened: null,
      payload: body,
      objects: [{ digest: body.digest, sizeBytes: body.sizeBytes, role: 'dossier' }],
    };
  },
  async project({ payload: { dossierId, digest, sizeBytes }, recordedAt }, tx) {
    await changeRows(tx, 'dossier', { dossierId }, { digest, sizeBytes, madeAt: recordedAt });
  },
  answer: async ({ payload: { dossierId } }, tx) =>
    dossierView((await findRow(tx, 'dossier', { dossierId }))!),
});
