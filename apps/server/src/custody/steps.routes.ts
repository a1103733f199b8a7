import { z } from 'zod';
import {
  idSchema,
  liftPiecesBody,
  protectOpeningBody,
  rebuildCheckBody,
  rebuildSignBody,
  recordDismantlingBody,
  recordRefixBody,
  recordRemovalBody,
  WORK_STATES,
  workStepAnswer,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

const written = workStepAnswer.omit({ entrySeq: true }).extend(writtenShape);
const common = ['date-invalid', 'evidence-unknown', 'idempotency-key-reused'] as const;

const sequenceStep = z.object({
  mark: z.string(),
  panelId: idSchema,
  bearsOn: z.array(z.string()).describe('marks of the panels right under it'),
  carries: z.array(z.string()).describe('marks of the panels right on top of it'),
  isTracery: z.boolean(),
  workState: z.enum(WORK_STATES),
  waitsFor: z
    .array(z.string())
    .describe(
      'removal: panels that still stand on it; refixing: panels that should lie below first',
    ),
});

export const windowSequence = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/sequence',
  tag: 'custody',
  summary: 'In which order panels come out, from the top down, and go back, from the bottom up',
  access: 'reader',
  answer: z.object({
    removal: z.array(sequenceStep),
    refixing: z.array(sequenceStep),
    source: z.string(),
  }),
  problems: ['window-unknown'],
});

export const listSteps = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/steps',
  tag: 'custody',
  summary: 'What was done with a panel between its opening and its return, newest first',
  access: 'reader',
  answer: z.object({ items: z.array(workStepAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const listProtections = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/protection',
  tag: 'custody',
  summary: 'How the openings of a window were closed while their panels are away, newest first',
  access: 'reader',
  answer: z.object({ items: z.array(workStepAnswer), next: z.null() }),
  problems: ['window-unknown'],
});

export const protectOpening = route({
  method: 'POST',
  path: '/v1/windows/{windowId}/protection',
  tag: 'custody',
  summary: 'Say how openings were closed: temporary glazing, boarding, sheeting, or left open',
  access: 'recorder',
  body: protectOpeningBody,
  answer: written,
  status: 201,
  problems: ['window-unknown', 'subject-unknown', ...common],
});

export const recordRemoval = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/removal',
  tag: 'custody',
  summary: 'A panel was taken out of its opening; what should have come first is flagged',
  access: 'recorder',
  body: recordRemovalBody,
  answer: written,
  status: 201,
  problems: ['panel-unknown', 'mark-invalid', 'subject-unknown', ...common],
});

export const liftPieces = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/lifts',
  tag: 'custody',
  summary: 'Pieces were lifted out of the old lead; what broke is flagged',
  access: 'recorder',
  body: liftPiecesBody,
  answer: written,
  status: 201,
  problems: ['panel-unknown', 'subject-unknown', ...common],
});

export const recordDismantling = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/dismantling',
  tag: 'custody',
  summary:
    'A panel was taken apart: pieces on the working rubbing, putty, old came, gauge readings',
  access: 'recorder',
  body: recordDismantlingBody,
  answer: written,
  status: 201,
  problems: ['panel-unknown', 'mark-invalid', 'subject-unknown', 'rubbing-not-taken', ...common],
});

export const rebuildCheck = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/rebuild-check',
  tag: 'custody',
  summary: 'The list of a rebuilt panel as it stands; closing it flags what is open',
  access: 'recorder',
  body: rebuildCheckBody,
  answer: written,
  status: 201,
  problems: ['panel-unknown', 'net-unknown', 'subject-unknown', ...common],
});

export const rebuildSign = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/rebuild-sign',
  tag: 'custody',
  summary: 'Sign a rebuilt panel; refused while its list or a flag is open',
  access: 'conservator',
  body: rebuildSignBody,
  answer: written,
  status: 201,
  problems: ['panel-unknown', 'rebuild-unchecked', 'flags-open', 'idempotency-key-reused'],
});

export const recordRefix = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/refix',
  tag: 'custody',
  summary: 'A panel went back into its opening: bars, ties, pointing, ventilation gap',
  access: 'recorder',
  body: recordRefixBody,
  answer: written,
  status: 201,
  problems: ['panel-unknown', ...common],
});
