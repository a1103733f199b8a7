/** What a scrub found amiss, named as people name things: by the mark of what the object is about. */

import { z } from 'zod';
import { entryNameInLog } from '#libs/ledger';
import type { Tx } from '../tx.js';

export const STORE_NAMES = ['primary', 'replica'] as const;
export type StoreName = (typeof STORE_NAMES)[number];

export const troubleSchema = z.object({
  /** `sha256:…`, or the key of a checkpoint's copy */
  what: z.string(),
  role: z.string(),
  store: z.enum(STORE_NAMES),
  state: z.enum(['missing', 'damaged', 'not-withdrawn', 'other-text', 'unknown-here']),
  /** where whole bytes came from; null: nothing was mended */
  mendedFrom: z.enum(['itself', 'primary', 'replica', 'database', 'destroyed']).nullable(),
  /** marks of what it is about, in full */
  subjects: z.array(z.string()),
  fileName: z.string().nullable(),
  /** the first entries that name it */
  entries: z.array(z.object({ logId: z.string(), seq: z.number(), type: z.string() })),
});
export type Trouble = z.infer<typeof troubleSchema>;

type About = Pick<Trouble, 'subjects' | 'fileName' | 'entries'>;

/** Which picture or drawing of which panel it is, and where the ledger names it. */
export async function aboutObject(tx: Tx, digest: string): Promise<About> {
  const source = await tx.first<{ sourceDigest: string }>(
    'SELECT source_digest FROM derivative WHERE digest = $1 LIMIT 1',
    [digest],
  );
  const named = source?.sourceDigest ?? digest;
  const media = await tx.first<{ subjects: string[]; fileName: string }>(
    'SELECT subjects, file_name FROM media WHERE digest = $1 ORDER BY entry_seq LIMIT 1',
    [named],
  );
  const entries = await tx.query<{
    logId: string;
    seq: number;
    type: string;
    subject: string | null;
  }>(
    `SELECT log_id, seq, type, subject FROM entry
     WHERE position(convert_to($1, 'UTF8') IN bytes) > 0 ORDER BY recorded_at LIMIT 5`,
    [named],
  );
  const fromEntries = entries.flatMap(({ subject }) => (subject === null ? [] : [subject]));
  const subjects =
    media === undefined || media.subjects.length === 0 ? fromEntries : media.subjects;
  return {
    subjects: [...new Set(subjects)],
    fileName: media?.fileName ?? null,
    entries: entries.map(({ logId, seq, type }) => ({ logId, seq, type })),
  };
}

/** One line for a person. */
export function troubleInWords(trouble: Trouble): string {
  const { what, role, store, state, mendedFrom, subjects, fileName, entries } = trouble;
  const states = {
    missing: 'is missing from',
    damaged: 'is damaged in',
    'not-withdrawn': 'was withdrawn and is still in',
    'other-text': 'is another in the database than in',
    'unknown-here': 'is not known to the database but lies in',
  };
  const name = [fileName, subjects.join(', ')].filter((text) => text !== null && text !== '');
  const mended = {
    itself: 'mended from what the store still held',
    primary: 'mended from the primary',
    replica: 'mended from the replica',
    database: 'written again from the database',
    destroyed: 'destroyed there',
  };
  const first = entries[0];
  return [
    `${name.length === 0 ? what : name.join(' of ')} (${role}) ${states[state]} the ${store}`,
    first === undefined
      ? ''
      : `; ${entryNameInLog(first.logId, first.seq)} (${first.type}) names it`,
    mendedFrom === null ? '' : `; ${mended[mendedFrom]}`,
    name.length === 0 ? '' : ` [${what}]`,
  ].join('');
}
