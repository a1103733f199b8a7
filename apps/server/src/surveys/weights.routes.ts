import { z } from 'zod';
import { describeMaterialsBody, idSchema, panelMaterialsAnswer, writtenShape } from '#libs/archive';
import { route } from '../platform/route.js';

const TAG = 'weights';
const kg = z.number().min(0);
const ratio = z.number().min(0).max(1);

const weightAnswer = z.object({
  panelId: idSchema,
  mark: z.string(),
  kg: kg.describe('what to lift by'),
  source: z
    .enum(['weighed', 'computed', 'estimated'])
    .describe('on a scale; from the lead drawing; from the area alone'),
  weight: z
    .object({
      glassKg: kg,
      leadKg: kg,
      solderKg: kg,
      cementKg: kg,
      barsKg: kg,
      netKg: kg.describe('the sum, glass as cut: what hearts displace is not counted'),
      grossKg: kg.describe('upper bound: glass over the whole panel, and 5 % on top'),
      kg,
      source: z.enum(['weighed', 'computed']),
      kgPerM2: kg,
      centreMm: z.tuple([z.number(), z.number()]).describe('of weight, in the panel’s frame'),
      gaugedLeadRatio: ratio,
      measuredGlassRatio: ratio,
      pieces: z.array(
        z.object({
          pieceId: z.string(),
          grams: kg,
          source: z.enum(['weighed', 'gauged', 'given', 'usual']),
          meanThicknessMm: z.number(),
        }),
      ),
      formulas: z.array(z.string()),
    })
    .nullable()
    .describe('null: there is no lead drawing'),
  estimate: z.object({ kg, lowKg: kg, highKg: kg, from: z.string() }).nullable(),
  lifting: z.object({ people: z.int(), needsGear: z.boolean(), sentence: z.string() }),
  heat: z.object({
    warmerK: z.number(),
    lengthMm: z.number(),
    leadMm: z.number(),
    glassMm: z.number(),
    differenceMm: z.number(),
  }),
});

export const panelWeight = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/weight',
  tag: TAG,
  summary: 'What a panel weighs, part by part, with its centre of weight and how to lift it',
  access: 'reader',
  answer: weightAnswer,
  problems: ['panel-unknown'],
});

export const windowWeights = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/weights',
  tag: TAG,
  summary: 'Weights of the panels of a window, by light and together',
  access: 'reader',
  answer: z.object({
    items: z.array(weightAnswer.omit({ weight: true })),
    lights: z.array(z.object({ light: z.string(), kg, panels: z.int() })),
    kg: kg.describe('of all panels, bars that stay not counted'),
    estimatedPanels: z.int().describe('of them known from their area alone'),
    next: z.null(),
  }),
  problems: ['window-unknown'],
});

export const materials = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/materials',
  tag: TAG,
  summary: 'Thicknesses, profiles and weighings of a panel; null where nobody gave any',
  access: 'reader',
  answer: z.object({ materials: panelMaterialsAnswer.nullable() }),
  problems: ['panel-unknown'],
});

export const describeMaterials = route({
  method: 'PUT',
  path: '/v1/panels/{panelId}/materials',
  tag: TAG,
  summary: 'Say what a panel is made of: thicknesses, profiles, solder, what was weighed',
  access: 'recorder',
  revises: 'optional',
  body: describeMaterialsBody,
  answer: panelMaterialsAnswer.extend(writtenShape),
  problems: ['panel-unknown', 'date-invalid', 'idempotency-key-reused'],
});
