import { z } from 'zod';
import { Problem } from '#libs/problem';
import { type CommandContext, type Decision, defineCommand } from '../command.js';
import { forget } from '../names/forget.js';
import { takeOutNames } from '../names/name-places.js';
import { erasedNames } from '../names/sealed-name.js';
import { nameKey, subjectsNamed } from '../names/subject-keys.js';
import { idSchema, noteText } from '../shapes.js';
import { changeRows, findRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { anotherKeeper, presentPerson } from './person-rows.js';

export const CLEAR_NAMES_QUEUE = 'names.clear';

const nameText = z.string().trim().min(2).max(200);
const reasonText = noteText.describe('stays in the ledger for ever: leave the name out of it');

export const erasePersonBody = z.strictObject({
  reason: reasonText,
  otherSpellings: z
    .array(nameText)
    .max(20)
    .default([])
    .describe('other ways in which the person is named on pictures, rubbings and work'),
});

interface ErasePayload {
  /** null: somebody without an account */
  personId: string | null;
  /** whose keys are destroyed */
  subjectIds: string[];
  reason: string;
}

/**
 * Destroys what opens a person's names. Entries stay as they are, with ciphertext that nobody can
 * read; rows show a pseudonym; the person cannot sign in any more.
 */
export const erasePerson = defineCommand({
  type: 'person.erase',
  body: erasePersonBody.extend({ personId: idSchema }),
  role: 'keeper',
  secrets: ['otherSpellings'],
  siteOf: () => Promise.resolve(null),
  // before the row changes: what is to be looked for in copies
  prepare: async ({ personId, otherSpellings }, { tx }) => {
    const row = await findRow(tx, 'person', { personId });
    const own = row === undefined ? [] : [row.displayName, row.login];
    return { names: [...new Set([...own, ...otherSpellings])] };
  },
  async decide({ personId, reason, otherSpellings }, ctx) {
    const { displayName, login } = await presentPerson(ctx.tx, personId);
    await anotherKeeper(ctx.tx, { withoutPersonId: personId });
    refuseNameIn(reason, [displayName, login, ...otherSpellings]);
    const named = await subjectsNamed(ctx.tx, [displayName, ...otherSpellings]);
    const subjectIds = [...new Set([personId, ...named])];
    return erasing(ctx, { personId, subjectIds, reason });
  },
  async project({ payload: { personId, subjectIds }, recordedAt }, tx) {
    const id = personId!;
    await changeRows(
      tx,
      'person',
      { personId: id },
      { ...erasedNames(id), disabled: true, erasedAt: recordedAt },
    );
    await tx.run('DELETE FROM role_grant WHERE person_id = $1', [id]);
    await takeOutNames(tx, subjectIds);
  },
  beside: (_body, { payload }, tx, { names }) => forget(tx, { ...payload, names }),
  answer: erasureAnswer,
});

export const eraseNameBody = z.strictObject({ name: nameText, reason: reasonText });

/** The same for somebody without an account who is named on pictures, rubbings or work. */
export const eraseName = defineCommand({
  type: 'name.erase',
  body: eraseNameBody,
  role: 'keeper',
  secrets: ['name'],
  siteOf: () => Promise.resolve(null),
  async decide({ name, reason }, ctx) {
    refuseNameIn(reason, [name]);
    const subjectIds = await subjectsNamed(ctx.tx, [name]);
    await refuseWithAccount(ctx.tx, subjectIds);
    if (subjectIds.length === 0) {
      throw new Problem(
        'name-unknown',
        'Nobody is named so on a picture, a rubbing or a work. Write the name as it stands there; a name within a note cannot be erased.',
        { field: 'name' },
      );
    }
    return erasing(ctx, { personId: null, subjectIds, reason });
  },
  async project({ payload }, tx) {
    await takeOutNames(tx, payload.subjectIds);
  },
  beside: ({ name }, { payload }, tx) => forget(tx, { ...payload, names: [name] }),
  answer: erasureAnswer,
});

/** What was being written while the keys went is looked after by a job. */
function erasing(ctx: CommandContext, payload: ErasePayload): Decision<ErasePayload> {
  const { subjectIds } = payload;
  return {
    log: 'studio',
    subject: null,
    happened: null,
    payload,
    jobs: [{ queue: CLEAR_NAMES_QUEUE, jobId: ctx.newId(), data: { subjectIds } }],
  };
}

function refuseNameIn(reason: string, names: readonly string[]): void {
  const text = nameKey(reason);
  if (!names.some((name) => text.includes(nameKey(name)))) return;
  throw new Problem(
    'request-invalid',
    'reason: leave the name out. This sentence stays in the ledger for ever; say why without saying who.',
    { field: 'reason' },
  );
}

async function refuseWithAccount(tx: Tx, subjectIds: readonly string[]): Promise<void> {
  const account = await tx.first(
    'SELECT 1 FROM person WHERE person_id = ANY($1::uuid[]) AND erased_at IS NULL',
    [subjectIds],
  );
  if (account === undefined) return;
  throw new Problem(
    'name-has-account',
    'A person of the studio has this name. Erase the person; what bears the name goes with them.',
    { field: 'name' },
  );
}

async function erasureAnswer({ payload }: { payload: ErasePayload }, tx: Tx) {
  const row = await tx.first<{ places: number }>(
    'SELECT count(*) AS places FROM name_place WHERE subject_id = ANY($1::uuid[])',
    [payload.subjectIds],
  );
  return { personId: payload.personId, places: row!.places };
}
