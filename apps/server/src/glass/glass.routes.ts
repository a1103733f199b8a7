import { z } from 'zod';
import {
  choiceAnswer,
  chooseGlassBody,
  cutGlassBody,
  describeSheetBody,
  idSchema,
  priceAnswer,
  priceMaterialBody,
  sheetAnswer,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

const TAG = 'new work';
const xyMm = z.tuple([z.number(), z.number()]);

export const listSheets = route({
  method: 'GET',
  path: '/v1/glass-sheets',
  tag: TAG,
  summary: 'What is known of the sheets of glass in the register, and what materials cost',
  access: 'recorder',
  answer: z.object({ items: z.array(sheetAnswer), prices: z.array(priceAnswer), next: z.null() }),
  problems: ['role-insufficient'],
});

export const describeSheet = route({
  method: 'PUT',
  path: '/v1/materials/{materialId}/sheet',
  tag: TAG,
  summary: 'Say what sheet of glass a batch is: colour, thickness, size, how the streaks run',
  access: 'recorder',
  revises: 'optional',
  body: describeSheetBody,
  answer: sheetAnswer.extend(writtenShape),
  problems: ['material-unknown', 'glass-unknown', 'idempotency-key-reused'],
});

export const priceMaterial = route({
  method: 'PUT',
  path: '/v1/materials/{materialId}/price',
  tag: TAG,
  summary: 'Say what a batch costs, for a unit of it or, of a sheet, for a square metre',
  access: 'recorder',
  revises: 'optional',
  body: priceMaterialBody,
  answer: priceAnswer.extend(writtenShape),
  problems: ['material-unknown', 'glass-unknown', 'idempotency-key-reused'],
});

export const listChoices = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/glass',
  tag: TAG,
  summary: 'The glass that was chosen for the pieces of a panel',
  access: 'reader',
  answer: z.object({ items: z.array(choiceAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

const written = z.object({ items: z.array(choiceAnswer) }).extend(writtenShape);

export const chooseGlass = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/glass',
  tag: TAG,
  summary: 'Choose a sheet of the register for pieces, with its streaks and what is to hold them',
  access: 'recorder',
  body: chooseGlassBody,
  answer: written,
  status: 201,
  problems: [
    'panel-unknown',
    'net-unsigned',
    'subject-unknown',
    'glass-unknown',
    'glass-unchosen',
    'sheet-too-small',
    'piece-exists',
    'idempotency-key-reused',
  ],
});

export const cutGlass = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/glass/cut',
  tag: TAG,
  summary: 'Say that pieces were cut: from then on each is described by its glass',
  access: 'recorder',
  body: cutGlassBody,
  answer: written,
  status: 201,
  problems: [
    'panel-unknown',
    'subject-unknown',
    'glass-unchosen',
    'piece-exists',
    'date-invalid',
    'idempotency-key-reused',
  ],
});

export const cutListQuery = z.object({
  of: z
    .enum(['to-cut', 'all'])
    .default('to-cut')
    .describe('pieces still to cut, or all with a glass'),
  gapMm: z.coerce.number().min(0).max(50).default(4).describe('between pieces: cut and grozing'),
  edgeMm: z.coerce.number().min(0).max(200).default(10).describe('along the edge of a sheet'),
});

const laidSheet = z.object({
  sheet: idSchema.describe('materialId of the register'),
  isOffcut: z.boolean(),
  widthMm: z.number(),
  heightMm: z.number(),
  pieces: z.array(z.object({ piece: z.string(), turnDeg: z.number(), ringMm: z.array(xyMm) })),
  usedMm2: z.number(),
  offcut: z
    .object({ xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() })
    .nullable()
    .describe('largest rectangle that stays free'),
});

export const cutList = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/cut-list',
  tag: TAG,
  summary: 'Pieces by their glass, as cut, and how they lie on the sheets',
  access: 'reader',
  query: cutListQuery,
  answer: z.object({
    mark: z.string(),
    revision: z.int(),
    gapMm: z.number(),
    edgeMm: z.number(),
    glasses: z.array(
      z.object({
        materialId: idSchema,
        name: z.string(),
        maker: z.string().nullable(),
        batch: z.string().nullable(),
        glass: z.string(),
        colour: z.string(),
        thicknessMm: z.number(),
        sheetMm: xyMm,
        grain: z.enum(['along-height', 'along-width', 'none']),
        inStock: z.int().describe('whole sheets by the register'),
        pieces: z.array(
          z.object({
            piece: z.string(),
            cutSizeMm: xyMm,
            turnDeg: z.number(),
            grainDeg: z.number().nullable(),
            areaMm2: z.number(),
            heldBy: z.string().nullable(),
          }),
        ),
        areaMm2: z.number(),
        wholeSheets: z.int(),
        leastSheets: z.int().describe('by area alone; no way of laying needs fewer'),
        missingSheets: z.int().describe('wanted beyond the stock'),
        wasteRatio: z.number(),
        sheets: z.array(laidSheet),
        tooLarge: z.array(z.object({ piece: z.string(), needsMm: xyMm })),
        unlaid: z.array(z.string()),
      }),
    ),
    unchosen: z.array(z.string()),
    cut: z.array(z.string()),
    nothingToCut: z.array(z.string()),
  }),
  problems: ['panel-unknown', 'net-unsigned'],
});

const FILES = {
  'cut-list.csv': 'text/csv; charset=utf-8',
  'cut-list.pdf': 'application/pdf',
} as const;
export type CutListFile = keyof typeof FILES;
export const CUT_LIST_FILES: Readonly<Record<CutListFile, string>> = FILES;

export const cutListFile = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/cut-list/{file}',
  tag: TAG,
  summary: 'The cut list for a spreadsheet, or on A4 with a drawing of each sheet',
  access: 'reader',
  params: z.object({
    panelId: idSchema,
    file: z.enum(Object.keys(FILES) as [CutListFile]),
  }),
  query: cutListQuery,
  answerTypes: ['text/csv', 'application/pdf'],
  problems: ['panel-unknown', 'net-unsigned'],
});

const costLine = z.object({
  kind: z.enum(['glass', 'lead', 'work']),
  what: z.string(),
  unit: z.string(),
  quantity: z.string().describe('decimal text'),
  pricePerUnit: z.string().nullable().describe('decimal text; null: the register has none'),
});

export const cutCost = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/cut-cost',
  tag: TAG,
  summary: 'Lines of an estimate out of the cut list: glass by the sheet or by area, lead, work',
  access: 'recorder',
  query: cutListQuery.extend({
    currency: z
      .string()
      .regex(/^[A-Z]{3}$/, 'a code such as EUR')
      .optional(),
  }),
  answer: z.object({
    bySheet: z.array(costLine),
    byArea: z.array(costLine),
    currencies: z.array(z.string()),
  }),
  problems: ['panel-unknown', 'net-unsigned', 'role-insufficient'],
});
