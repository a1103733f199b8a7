/** Where a thing is, as the API answers it. */
import { z } from 'zod';
import { atAnswer, idSchema } from '#libs/archive';
import type { Whereabouts } from '#libs/custody';

export const whereAnswer = z.object({
  key: z.string().describe('mark, or mark and sample'),
  at: atAnswer.nullable().describe('the place itself; null: nothing was said'),
  crate: z
    .object({ crateId: idSchema, mark: z.string(), slot: z.string().nullable() })
    .nullable()
    .describe('the crate that it lies in, there'),
  since: z.string().nullable().describe('the day by which it was there, YYYY-MM-DD'),
  movementId: idSchema.nullable(),
  passing: z
    .enum(['none', 'due', 'given', 'taken'])
    .describe('how far the change of hands has come'),
  holderName: z.string().nullable(),
  why: z.string().nullable(),
  temporary: z.boolean(),
  expectedReturn: z.string().nullable(),
});
export type WhereAnswer = z.infer<typeof whereAnswer>;

/** What ids stand for. */
export interface Names {
  readonly crateMarks: ReadonlyMap<string, string>;
  readonly holders: ReadonlyMap<string, string | null>;
}

export function whereView(
  { key, at, crate, own, crateFact }: Whereabouts,
  { crateMarks, holders }: Names,
): WhereAnswer {
  const last = crateFact !== null && own !== null && isLater(crateFact, own) ? crateFact : own;
  return {
    key,
    at,
    crate: crate && {
      crateId: crate.crateId,
      mark: crateMarks.get(crate.crateId) ?? '',
      slot: crate.slot,
    },
    since: last === null || last.day === '' ? null : last.day,
    movementId: last?.movementId ?? null,
    passing: last?.passing ?? 'none',
    holderName: (last?.movementId != null && holders.get(last.movementId)) || null,
    why: last?.why ?? null,
    temporary: last?.isTemporary ?? false,
    expectedReturn: last?.expectedReturn ?? null,
  };
}

const isLater = (
  a: { readonly day: string; readonly seq: number },
  b: { readonly day: string; readonly seq: number },
): boolean => (a.day === b.day ? a.seq > b.seq : a.day > b.day);
