import { z } from 'zod';
import { parseVerifierKey } from '#libs/ledger';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { shortText } from '../shapes.js';
import { findRow, putRow } from '../tables.js';

export const originSchema = z
  .string()
  .min(1)
  .max(255)
  .regex(/^[^\s+]+$/, 'one line without spaces and +, as it stands in the checkpoint');

export const registerWitnessedBody = z.strictObject({
  origin: originSchema.describe('first line of the log’s checkpoints'),
  verifierKeys: z
    .array(z.string().min(1).max(400))
    .min(1)
    .max(8)
    .describe('verifier keys that may sign its checkpoints (C2SP signed-note)'),
});

/** From now on this archive cosigns the checkpoints of a log; again for the same log: other keys. */
export const registerWitnessed = defineCommand({
  type: 'witness.register',
  body: registerWitnessedBody,
  role: 'keeper',
  status: 201,
  siteOf: () => Promise.resolve(null),
  async decide({ origin, verifierKeys }, { tx }) {
    for (const [at, text] of verifierKeys.entries()) {
      if (parseVerifierKey(text)?.type === 1) continue;
      throw new Problem(
        'verifier-key-invalid',
        `verifierKeys[${at}]: not the verifier key of a log (name+id+base64, type 1). Copy it whole from the log’s keeper.`,
        { field: `verifierKeys[${at}]` },
      );
    }
    const own = await tx.first('SELECT 1 FROM log WHERE origin = $1', [origin]);
    if (own !== undefined) {
      throw new Problem(
        'verifier-key-invalid',
        'origin: this is a log of this very archive. A witness must be somebody else, on another machine.',
        { field: 'origin' },
      );
    }
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { origin, verifierKeys },
    };
  },
  async project({ payload, recordedAt, seq }, tx) {
    await putRow(tx, 'witnessed_log', {
      ...payload,
      released: false,
      registeredAt: recordedAt,
      version: seq,
    });
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

export const releaseWitnessedBody = z.strictObject({ origin: originSchema, reason: shortText });

/** This archive cosigns no more for a log. What it cosigned stays remembered. */
export const releaseWitnessed = defineCommand({
  type: 'witness.release',
  body: releaseWitnessedBody,
  role: 'keeper',
  siteOf: () => Promise.resolve(null),
  async decide({ origin, reason }, { tx }) {
    const row = await findRow(tx, 'witnessed_log', { origin });
    if (row === undefined || row.released) {
      throw new Problem('witnessed-log-unknown', `This archive does not witness ${origin}.`, {
        field: 'origin',
      });
    }
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { origin, reason },
    };
  },
  async project({ payload: { origin }, seq }, tx) {
    const row = (await findRow(tx, 'witnessed_log', { origin }))!;
    await putRow(tx, 'witnessed_log', { ...row, released: true, version: seq });
  },
  answer: ({ payload }) => Promise.resolve(payload),
});
