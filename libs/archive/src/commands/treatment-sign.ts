import { z } from 'zod';
import { Problem } from '#libs/problem';
import { recordJson } from '#libs/records';
import { defineCommand, type ObjectRef } from '../command.js';
import { refuseOverOpenFlags } from '../flags.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { panelPlace, siteOf } from '../place.js';
import { gatherRecord } from '../records/gather-record.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { signatureView } from '../views/signature-view.js';

export const signTreatmentBody = z.strictObject({
  recordVersion: z.string().max(20).describe('of the treatment record that was read'),
  qualification: shortText.optional().describe('of whoever signs'),
  happened: happenedSchema,
  note: noteText.optional(),
});

interface Prepared {
  readonly version: string;
  readonly record: ObjectRef;
}

/**
 * A person puts their name under a version of a panel's treatment record. The record as it was signed
 * is kept as an object, whatever is recorded later.
 */
export const signTreatment = defineCommand({
  type: 'treatment.sign',
  body: signTreatmentBody.extend({ panelId: idSchema }),
  role: 'conservator',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async prepare({ panelId }, { tx, objects }): Promise<Prepared> {
    const { siteId, fullMark } = await panelPlace(tx, panelId);
    const record = await gatherRecord({ reads: tx, objects }, 'treatment', siteId, fullMark);
    const bytes = new TextEncoder().encode(recordJson(record));
    const kept = await objects.put(bytes, { retain: 'original' });
    return { version: record.version.version, record: { ...kept, role: 'record' } };
  },
  async decide({ panelId, recordVersion, ...said }, ctx, { version, record }) {
    const { siteId, fullMark } = await panelPlace(ctx.tx, panelId);
    if (recordVersion !== version) {
      throw new Problem(
        'stale-version',
        `The treatment record of ${fullMark} is at version ${version}; you read ${recordVersion}. Read it again, then sign.`,
        { field: 'recordVersion', currentVersion: version },
      );
    }
    await refuseOverOpenFlags(ctx.tx, { siteId, subject: fullMark });
    return {
      log: { siteId },
      subject: fullMark,
      happened: checkedEdtf(said.happened)!,
      payload: {
        signatureId: ctx.newId(),
        panelId,
        recordVersion,
        digest: record.digest,
        sizeBytes: record.sizeBytes,
        qualification: said.qualification ?? null,
        note: said.note ?? null,
      },
      objects: [record],
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'treatment_signature', {
      siteId: entry.siteId!,
      ...entry.payload,
      signedBy: entry.actorId,
      happened: entry.happened!,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { signatureId } }, tx) =>
    signatureView((await findRow(tx, 'treatment_signature', { signatureId }))!),
});
