import { z } from 'zod';
import { leadRows, type OpenItems, openItems, type RebuildAnswers } from '#libs/custody';
import type { Net } from '#libs/net';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { type CustodySeed, piecesAway } from '../custody/custody-flags.js';
import { answerStep, lastStep, panelStep, projectStep } from '../custody/work-steps.js';
import { refuseOverOpenFlags } from '../flags.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { getNet } from '../stored-json.js';
import { findRow } from '../tables.js';
import { unknown } from '../unknown.js';

const sizeMm = z.number().positive().max(100_000);

export const PIECE_ANSWERS = ['in', 'replaced', 'missing'] as const;

export const rebuildCheckBody = z.strictObject({
  revision: z.int().min(1).describe('of the lead drawing that the list was made from'),
  trialFit: z
    .strictObject({
      widthMm: sizeMm,
      heightMm: sizeMm,
      diagonalsMm: z.tuple([sizeMm, sizeMm]).optional(),
    })
    .optional()
    .describe('over the outer leads of the rebuilt panel, measured'),
  pieces: z
    .array(
      z.strictObject({
        mark: z.string().min(1).max(12).describe('in the panel: 17, 17a'),
        is: z.enum(PIECE_ANSWERS),
        note: noteText.optional(),
      }),
    )
    .max(5000)
    .default([]),
  leads: z
    .array(
      z.strictObject({
        row: z.string().min(1).max(120).describe('key of the list’s row'),
        is: z.enum(['as-listed', 'other']),
        profileUsed: shortText.optional(),
        note: noteText.optional(),
      }),
    )
    .max(200)
    .default([]),
  cemented: z
    .strictObject({ on: happenedSchema, with: shortText.optional() })
    .nullable()
    .default(null),
  cureUntil: happenedSchema.nullable().default(null).describe('not moved before, EDTF'),
  comparison: z
    .strictObject({ before: z.int().min(1), after: z.int().min(1) })
    .nullable()
    .default(null)
    .describe('revisions of the lead drawing before and after that were compared'),
  images: z.array(idSchema).max(100).default([]).describe('of the rebuilt panel'),
  note: noteText.optional(),
  closes: z.boolean().default(false).describe('the list is done; what is open then is flagged'),
  happened: happenedSchema.optional(),
});

/** The list of a rebuilt panel as it stands, whole each time; the last one said counts. */
export const rebuildCheck = defineCommand({
  type: 'rebuild.check',
  body: rebuildCheckBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async prepare({ panelId, revision }, { tx, objects }): Promise<Net> {
    const row = await findRow(tx, 'net_revision', { panelId, revision });
    if (row === undefined) throw unknown('net');
    return getNet(objects, row.objectDigest);
  },
  async decide({ panelId, images, ...body }, ctx, net) {
    const { happened: claimed, ...said } = body;
    const happened = checkedEdtf(claimed);
    const place = await panelPlace(ctx.tx, panelId);
    const { siteId, fullMark } = place;
    await checkMedia(ctx.tx, siteId, images, 'images');
    checkedEdtf(said.cemented?.on, 'cemented.on');
    checkedEdtf(said.cureUntil, 'cureUntil');
    refuseUnlisted(fullMark, net, said);
    const panel = (await findRow(ctx.tx, 'panel', { panelId }))!;
    const tight = tightOf(panel.sizes);
    const open = openItems(net, { ...said, photographs: images.length }, tight);
    const seeds = said.closes
      ? [
          ...openSeeds(fullMark, open, said.pieces),
          ...sizeSeeds(fullMark, open, said.trialFit, tight),
          ...(await piecesAway(ctx.tx, siteId, fullMark)),
        ]
      : [];
    return panelStep(ctx, place, {
      happened,
      images,
      detail: { ...said, open },
      workState: said.closes ? 'rebuilt' : 'on-bench',
      seeds: onePerPiece(seeds),
    });
  },
  project: (entry, tx) => projectStep(entry, tx, 'check'),
  answer: answerStep,
});

export const rebuildSignBody = z.strictObject({ note: noteText.optional() });

/** A conservator signs the rebuilt panel. Refused while the list is open or a flag is not answered. */
export const rebuildSign = defineCommand({
  type: 'rebuild.sign',
  body: rebuildSignBody.extend({ panelId: idSchema }),
  role: 'conservator',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, note }, ctx) {
    const place = await panelPlace(ctx.tx, panelId);
    const { siteId, fullMark } = place;
    const check = await lastStep(ctx.tx, panelId, 'check');
    if ((check?.detail as { closes: boolean } | undefined)?.closes !== true)
      throw new Problem(
        'rebuild-unchecked',
        `The checklist of ${fullMark} is not closed. Close it, then sign; what is open then is flagged and answered.`,
      );
    await refuseOverOpenFlags(ctx.tx, { siteId, subject: fullMark });
    return panelStep(ctx, place, {
      happened: null,
      images: [],
      detail: { checkStepId: check!.stepId, note: note ?? null },
      workState: null,
      seeds: [],
    });
  },
  project: (entry, tx) => projectStep(entry, tx, 'sign'),
  answer: answerStep,
});

/** @throws {Problem} `subject-unknown` for a piece or a row that the drawing does not have */
function refuseUnlisted(
  fullMark: string,
  net: Net,
  { pieces, leads }: Pick<RebuildAnswers, 'pieces' | 'leads'>,
): void {
  const known = new Set(net.pieces.map(({ pieceId }) => pieceId));
  const piece = pieces.find(({ mark }) => !known.has(mark));
  if (piece !== undefined)
    throw new Problem(
      'subject-unknown',
      `pieces: the drawing of ${fullMark} has no piece ${piece.mark}. Take the list anew, or correct the mark.`,
      { field: 'pieces', mark: piece.mark },
    );
  const rows = new Set(leadRows(net).map(({ row }) => row));
  const lead = leads.find(({ row }) => !rows.has(row));
  if (lead !== undefined)
    throw new Problem(
      'subject-unknown',
      `leads: the drawing of ${fullMark} has no row ${lead.row}. Take the list anew.`,
      { field: 'leads', row: lead.row },
    );
}

/** What an open item is called in a flag. */
const OPEN_WORDS: Readonly<Record<OpenItems['other'][number], string | null>> = {
  fit: 'a trial fit',
  'too-large': null,
  cement: 'cementing',
  cure: 'a day until which the cement cures',
  comparison: 'a comparison of the lead drawings before and after',
  photograph: 'a photograph',
};

function openSeeds(
  subject: string,
  open: OpenItems,
  answers: RebuildAnswers['pieces'],
): CustodySeed[] {
  const said = new Map(answers.map(({ mark, is }) => [mark, is]));
  const missing = open.pieces.map((mark): CustodySeed => {
    const where = said.get(mark) === 'missing' ? 'said to be missing' : 'nobody said that it is in';
    const piece = `${subject}.${mark}`;
    return { kind: 'piece-missing', subject: piece, said: { piece, where } };
  });
  const words = [
    ...(open.leads.length === 0 ? [] : [`a look at ${open.leads.length} kinds of lead`]),
    ...open.other.flatMap((item) => OPEN_WORDS[item] ?? []),
  ];
  if (words.length === 0) return missing;
  return [...missing, { kind: 'list-open', subject, said: { what: words.join(', ') } }];
}

function sizeSeeds(
  subject: string,
  { other }: OpenItems,
  fit: TightSize | undefined,
  tight: TightSize | null,
): CustodySeed[] {
  if (!other.includes('too-large') || fit === undefined || tight === null) return [];
  const size = ({ widthMm, heightMm }: TightSize) => `${widthMm} × ${heightMm} mm`;
  return [{ kind: 'does-not-fit', subject, said: { size: size(fit), tight: size(tight) } }];
}

/** A piece that is missing and known to be elsewhere is asked about once, with what is known. */
const onePerPiece = (seeds: readonly CustodySeed[]): CustodySeed[] => [
  ...new Map(seeds.map((seed) => [`${seed.kind} ${seed.subject}`, seed])).values(),
];

export interface TightSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

export const tightOf = (sizes: unknown): TightSize | null =>
  (sizes as { tight?: TightSize }).tight ?? null;
