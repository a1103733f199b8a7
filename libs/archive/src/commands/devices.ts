import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { grantsOf, isAtLeast, type Role, roleAmong } from '../role.js';
import { idSchema } from '../shapes.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { presentPerson } from './person-rows.js';
import { lastEntryAbout } from './superseded.js';

/** What a phone may be paired for: recording, never keeping. */
export const DEVICE_ROLES = [
  'reader',
  'recorder',
  'conservator',
] as const satisfies readonly Role[];
export const deviceRoleSchema = z.enum(DEVICE_ROLES);

interface PairingRow {
  personId: string;
  name: string;
  siteId: string | null;
  role: (typeof DEVICE_ROLES)[number];
}

/** A phone spends the code that a signed-in person showed it; the actor is that person. */
export const pairDevice = defineCommand({
  type: 'device.pair',
  body: z.strictObject({ secretDigest: z.string().regex(/^[0-9a-f]{64}$/) }),
  role: 'anyone',
  status: 201,
  secrets: ['secretDigest'],
  siteOf: () => Promise.resolve(null),
  async decide({ secretDigest }, ctx) {
    const pairing = await ctx.tx.first<PairingRow>(
      `SELECT person_id, name, site_id, role FROM pairing
       WHERE secret_digest = $1 AND person_id = $2 AND device_id IS NULL AND expires_at > now()`,
      [secretDigest, ctx.actorId],
    );
    if (pairing === undefined) throw pairingSpent();
    await presentPerson(ctx.tx, pairing.personId);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { deviceId: ctx.newId(), ...pairing },
    };
  },
  async project({ payload, recordedAt, seq }, tx) {
    await putRow(tx, 'device', {
      ...payload,
      pairedAt: recordedAt,
      endedAt: null,
      version: seq,
    });
  },
  async beside({ secretDigest }, { payload }, tx) {
    await tx.run('UPDATE pairing SET device_id = $2 WHERE secret_digest = $1', [
      secretDigest,
      payload.deviceId,
    ]);
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

/** @returns what the phone is told whose code was used, is too old, or never was */
export const pairingSpent = (): Problem =>
  new Problem(
    'link-spent',
    'This code was used or is too old. Show a new one on the desk and open that.',
    { field: 'pairing' },
  );

/** Ends what a phone may do, at once; pictures that it still holds stay on it. */
export const endDevice = defineCommand({
  type: 'device.end',
  body: z.strictObject({ deviceId: idSchema }),
  role: 'anyone',
  siteOf: () => Promise.resolve(null),
  async decide({ deviceId }, ctx) {
    const device = await findRow(ctx.tx, 'device', { deviceId });
    if (device === undefined || !(await mayEnd(ctx.tx, ctx.actorId, device.personId))) {
      throw new Problem('device-unknown', 'No such phone is paired. Read the list again.');
    }
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { deviceId },
      ...(await lastEntryAbout(ctx.tx, null, null, ['device.pair', 'device.end'], { deviceId })),
    };
  },
  async project({ payload: { deviceId }, recordedAt, seq }, tx) {
    await changeRows(tx, 'device', { deviceId }, { endedAt: recordedAt, version: seq });
  },
  async beside({ deviceId }, _entry, tx) {
    await tx.run('DELETE FROM session WHERE device_id = $1', [deviceId]);
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

/** One's own phones, or as keeper of the studio anybody's. */
async function mayEnd(tx: Tx, actorId: string, ownerId: string): Promise<boolean> {
  if (actorId === ownerId) return true;
  return isAtLeast(roleAmong(await grantsOf(tx, actorId), null), 'keeper');
}
