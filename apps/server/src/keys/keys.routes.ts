import { z } from 'zod';
import { dateTime, RECOVERY_WORDS } from '#libs/archive';
import { route } from '../platform/route.js';

export const archiveKeys = route({
  method: 'GET',
  path: '/v1/archive/keys',
  tag: 'ledger',
  summary:
    'The keys that signed this archive, one after the other, and the successor that is announced',
  access: 'signed-in',
  answer: z.object({
    origin: z.string().describe('of the studio’s log, whose entries are meant'),
    keys: z
      .array(
        z.object({
          fingerprint: z.string(),
          sinceSeq: z
            .int()
            .describe(
              'place in the studio’s history from which on it signs: the number of the entry, in later epochs with the epoch in it',
            ),
          came: z
            .enum(['first', 'old', 'successor', 'none'])
            .describe('first of the archive, or who signed the change to it'),
          said: z.string().nullable().describe('the change in a sentence; null for the first'),
        }),
      )
      .describe('oldest first; the last is in force'),
    successor: z
      .object({ fingerprint: z.string(), announcedAt: z.int() })
      .nullable()
      .describe('key of the recovery sheet in force'),
  }),
});

export const recoverySheet = route({
  method: 'GET',
  path: '/v1/archive/recovery-sheet',
  tag: 'ledger',
  summary: 'The recovery sheet, as long as its words lie on the server; for keepers of the studio',
  access: 'keeper',
  answer: z.object({
    sheet: z
      .object({
        words: z.array(z.string()),
        code: z.object({
          path: z.string().describe('SVG path of the dark squares of a QR code of the words'),
          side: z.int().describe('squares along a side, the quiet zone with them'),
        }),
        archiveId: z.string(),
        fingerprint: z.string().describe('of the archive’s key'),
        successor: z.string().describe('of the key that the words make'),
        announcedAt: z
          .int()
          .describe('place in the studio’s history of the entry that announced it'),
        madeAt: dateTime,
      })
      .nullable()
      .describe('null once the words were destroyed'),
  }),
});

export const recoverySheetFile = route({
  method: 'GET',
  path: '/v1/archive/recovery-sheet.pdf',
  tag: 'ledger',
  summary: 'The recovery sheet as one page to print; for keepers of the studio',
  access: 'keeper',
  answerTypes: ['application/pdf'],
  problems: ['recovery-sheet-gone'],
});

const wordNumber = z.int().min(1).max(RECOVERY_WORDS);

export const keepRecoverySheet = route({
  method: 'POST',
  path: '/v1/archive/recovery-sheet/kept',
  tag: 'ledger',
  summary: 'The sheet is printed: two of its words typed back destroy the words on the server',
  access: 'keeper',
  body: z.strictObject({
    words: z
      .array(z.strictObject({ number: wordNumber, word: z.string().trim().min(1).max(40) }))
      .length(2)
      .refine(([a, b]) => a?.number !== b?.number, 'two different words'),
  }),
  answer: z.object({ destroyed: z.literal(true) }),
  tellsSecret: true,
  problems: ['recovery-sheet-gone', 'recovery-words-wrong'],
});
