import { z } from 'zod';
import { type SheetKind, tooLargeFor } from '#libs/cutting';
import { Problem } from '#libs/problem';
import { defineCommand, type PrepareContext } from '../command.js';
import { putFlags, raiseFlags } from '../flags.js';
import { type CutPieces, cutPiecesOf } from '../glass/cut-pieces.js';
import { sheetKindOf } from '../glass/sheet-kind.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { panelPlace, siteOf } from '../place.js';
import { putTechnique } from '../put-technique.js';
import type { GlassChoiceRow, GlassSheetRow, MaterialRow, PieceRow } from '../rows.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { type ChosenSheet, choiceView, type Held, heldShape } from '../views/glass-view.js';
import type { PieceTechnique } from '../views/piece-technique-view.js';
import { stockOf } from './materials.js';

const PIECES_MAX = 2000;
const piecesShape = z
  .array(z.string().min(1).max(12))
  .min(1)
  .max(PIECES_MAX)
  .describe('numbers of the pieces, as the signed drawing has them');

export const chooseGlassBody = z.strictObject({
  pieces: piecesShape,
  materialId: idSchema
    .nullable()
    .describe('a sheet of the register; null takes back what was chosen'),
  grainDeg: z
    .number()
    .min(0)
    .lt(180)
    .optional()
    .describe('how streaks are to run: degrees clockwise from the top of the panel'),
  held: heldShape.optional(),
});

type ChooseBody = z.infer<typeof chooseGlassBody> & { panelId: string };

/** The glass for pieces of new work. What was chosen before stays in the ledger. */
export const chooseGlass = defineCommand({
  type: 'glass.choose',
  body: chooseGlassBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  prepare: (body: ChooseBody, ports) => cutPiecesFor(body, ports),
  async decide({ panelId, materialId, grainDeg, held, pieces }, ctx, cut) {
    const place = await panelPlace(ctx.tx, panelId);
    if (place.signedRevision !== cut.revision) throw unsigned();
    const rows = await piecesNamed(ctx.tx, panelId, pieces);
    const before = await choicesOf(ctx.tx, panelId);
    refuseCut(rows, before);
    const glass = materialId === null ? null : await knownGlass(ctx.tx, materialId);
    if (glass !== null) refuseTooSmall(rows, cut, glass.sheet, grainDeg ?? null);
    else refuseUnchosen(rows, before);
    const last = Math.max(
      0,
      ...rows.map(({ pieceId }) => Number(before.get(pieceId)?.entrySeq ?? 0)),
    );
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: null,
      payload: {
        panelId,
        pieces: rows.map(({ pieceId, mark }) => ({ pieceId, mark })),
        materialId,
        sheet: glass === null ? null : wordsOf(glass),
        grainDeg: grainDeg ?? null,
        held: held ?? null,
        flags:
          glass === null
            ? []
            : raiseFlags(ctx, await stockFlags(ctx.tx, glass, place.fullMark, rows)),
      },
      ...(last === 0 ? {} : { supersedes: { seq: last } }),
    };
  },
  async project(entry, tx) {
    const { panelId, pieces, materialId, sheet, grainDeg, held, flags } = entry.payload;
    for (const { pieceId } of pieces) {
      if (materialId === null) {
        const takenBack = { state: 'taken-back', version: entry.seq } as const;
        await changeRows(tx, 'glass_choice', { pieceId }, { ...takenBack, entrySeq: entry.seq });
        continue;
      }
      await putRow(tx, 'glass_choice', {
        siteId: entry.siteId!,
        pieceId,
        panelId,
        materialId,
        sheet,
        grainDeg,
        held,
        state: 'chosen',
        entrySeq: entry.seq,
        recordedAt: entry.recordedAt,
        version: entry.seq,
      });
    }
    await putFlags(tx, entry, flags);
  },
  answer: ({ payload: { panelId, pieces } }, tx) => answered(tx, panelId, pieces),
});

export const cutGlassBody = z.strictObject({
  pieces: piecesShape,
  happened: happenedSchema.describe('when they were cut, EDTF'),
  byRole: shortText.optional().describe('glazier, painter, …'),
  note: noteText.optional(),
});

/**
 * Pieces were cut from the glass that was chosen. From then on each is described as any other piece is:
 * its glass, its thickness, what holds it, and that it was made new, when and by whom.
 */
export const cutGlass = defineCommand({
  type: 'glass.cut',
  body: cutGlassBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, pieces, happened, byRole, note }, ctx) {
    const place = await panelPlace(ctx.tx, panelId);
    const rows = await piecesNamed(ctx.tx, panelId, pieces);
    const choices = await choicesOf(ctx.tx, panelId);
    refuseCut(rows, choices);
    refuseUnchosen(rows, choices);
    const day = checkedEdtf(happened);
    const made = [`made new ${day}`, byRole === undefined ? '' : `by ${byRole}`]
      .filter((part) => part !== '')
      .join(', ');
    const described = [];
    for (const { pieceId, mark } of rows) {
      const before = await findRow(ctx.tx, 'piece_technique', { pieceId });
      const choice = choices.get(pieceId)!;
      const said = techniqueOf(choice, made, note, before?.said as PieceTechnique | undefined);
      described.push({ pieceId, mark, said });
    }
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: day,
      payload: { panelId, pieces: described },
    };
  },
  async project(entry, tx) {
    const { panelId, pieces } = entry.payload;
    for (const { pieceId, said } of pieces) {
      await changeRows(tx, 'glass_choice', { pieceId }, { state: 'cut', version: entry.seq });
      await putTechnique(tx, entry, { pieceId, panelId, said });
    }
  },
  answer: ({ payload: { panelId, pieces } }, tx) => answered(tx, panelId, pieces),
});

interface KnownGlass {
  readonly material: MaterialRow;
  readonly sheet: GlassSheetRow;
}

async function knownGlass(tx: Tx, materialId: string): Promise<KnownGlass> {
  const material = await findRow(tx, 'material', { materialId });
  const sheet = await findRow(tx, 'glass_sheet', { materialId });
  if (material !== undefined && sheet !== undefined) return { material, sheet };
  throw new Problem(
    'glass-unknown',
    'materialId: the register has no such sheet of glass. Enter it there, with its size, then choose it.',
    { field: 'materialId' },
  );
}

function wordsOf({ material, sheet }: KnownGlass): ChosenSheet {
  const { name, maker, batch } = material;
  const { glass, colour, thicknessMm } = sheet;
  return { name, maker, batch, glass, colour, thicknessMm };
}

async function stockFlags(
  tx: Tx,
  { material }: KnownGlass,
  subject: string,
  rows: readonly PieceRow[],
) {
  const left = material.state === 'retired' ? '0' : await stockOf(tx, material);
  if (Number(left) > 0) return [];
  const pieces = rows.length === 1 ? `piece ${rows[0]!.mark}` : `${rows.length} pieces`;
  const said = { glass: material.name, pieces, left: `${left} ${material.unit}` };
  return [{ kind: 'glass-out-of-stock' as const, subject, said }];
}

/** @throws {Problem} `net-unsigned` */
async function cutPiecesFor(
  { panelId, pieces, held }: ChooseBody,
  ports: PrepareContext,
): Promise<CutPieces> {
  const named = held === undefined ? {} : Object.fromEntries(pieces.map((mark) => [mark, held]));
  const cut = await cutPiecesOf(ports, panelId, named);
  if (cut === undefined) throw unsigned();
  return cut;
}

function unsigned(): Problem {
  return new Problem(
    'net-unsigned',
    'Sign the lead drawing first: glass is chosen for the pieces of a signed drawing.',
  );
}

async function piecesNamed(tx: Tx, panelId: string, pieces: readonly string[]) {
  const rows = await findRows(tx, 'piece', { panelId, retired: false });
  const byMark = new Map(rows.map((row) => [row.mark, row]));
  return [...new Set(pieces)].map((mark) => {
    const row = byMark.get(mark);
    if (row !== undefined) return row;
    throw new Problem(
      'subject-unknown',
      `pieces: the signed drawing has no piece ${mark}. Correct the number, or draw the piece first.`,
      { field: 'pieces', mark },
    );
  });
}

async function choicesOf(tx: Tx, panelId: string): Promise<Map<string, GlassChoiceRow>> {
  const rows = await findRows(tx, 'glass_choice', { panelId });
  return new Map(rows.map((row) => [row.pieceId, row]));
}

function refuseCut(rows: readonly PieceRow[], choices: ReadonlyMap<string, GlassChoiceRow>): void {
  const cut = rows.find(({ pieceId }) => choices.get(pieceId)?.state === 'cut');
  if (cut === undefined) return;
  throw new Problem(
    'piece-exists',
    `Piece ${cut.mark} is cut already. Describe another glass in its place as its next generation.`,
    { mark: cut.mark },
  );
}

function refuseUnchosen(
  rows: readonly PieceRow[],
  choices: ReadonlyMap<string, GlassChoiceRow>,
): void {
  const bare = rows.find(({ pieceId }) => choices.get(pieceId)?.state !== 'chosen');
  if (bare === undefined) return;
  throw new Problem(
    'glass-unchosen',
    `No glass is chosen for piece ${bare.mark}. Choose one first.`,
    {
      mark: bare.mark,
    },
  );
}

function refuseTooSmall(
  rows: readonly PieceRow[],
  { rings }: CutPieces,
  sheet: GlassSheetRow,
  grainDeg: number | null,
): void {
  const kind: SheetKind = sheetKindOf(sheet, 1);
  for (const { mark } of rows) {
    const ringMm = rings.get(mark) ?? [];
    if (ringMm.length === 0) continue;
    const large = tooLargeFor({ piece: mark, ringMm, grainDeg }, [kind], { edgeMm: 0 });
    if (large === undefined) continue;
    const [wide, high] = large.needsMm.map((mm) => Math.ceil(mm * 2 - 1e-6) / 2);
    throw new Problem(
      'sheet-too-small',
      `Piece ${mark} needs ${wide} × ${high} mm as cut, the sheet is ${sheet.widthMm} × ${sheet.heightMm} mm. Choose a larger sheet, or divide the piece in the drawing.`,
      { mark, needs: `${wide} × ${high} mm`, sheet: `${sheet.widthMm} × ${sheet.heightMm} mm` },
    );
  }
}

/** What is known of the piece already, such as paint, stays. */
function techniqueOf(
  choice: GlassChoiceRow,
  made: string,
  note: string | undefined,
  before: PieceTechnique | undefined,
): PieceTechnique {
  const { name, maker, batch, glass, colour, thicknessMm } = choice.sheet as ChosenSheet;
  const held = (choice.held as Held | null) ?? before?.held;
  const from = [name, maker, batch === null ? null : `batch ${batch}`]
    .filter((part) => part !== null)
    .join(', ');
  const words = [made, `cut from ${from}`, note, before?.note].filter(Boolean).join('; ');
  return {
    ...(held === undefined ? {} : { held }),
    layers: before?.layers.length
      ? before.layers
      : [{ is: 'glass', glass, colour, thicknessMm, worked: [], painted: [] }],
    generations: before?.generations ?? [],
    note: words.slice(0, 4000),
  };
}

async function answered(
  tx: Tx,
  panelId: string,
  pieces: readonly { pieceId: string; mark: string }[],
) {
  const choices = await choicesOf(tx, panelId);
  const items = pieces.map(({ pieceId, mark }) => choiceView({ ...choices.get(pieceId)!, mark }));
  return { items, version: Math.max(...items.map(({ version }) => version)) };
}
