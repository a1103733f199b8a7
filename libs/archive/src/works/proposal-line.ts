/** One line of a proposal: a place, what is the matter with it, what could be done, and what shall be. */
import { z } from 'zod';
import { markText, noteText, shortText } from '../shapes.js';

export const optionSchema = z.strictObject({
  what: noteText.describe('what would be done'),
  operations: z.array(z.string().min(1).max(100)).max(20).describe('keys of /v1/operations'),
  speaksFor: noteText.optional(),
  speaksAgainst: noteText.optional(),
});

export const proposalLineSchema = z.strictObject({
  subjects: z.array(markText).min(1).max(200).describe('pieces, panels or windows'),
  need: noteText.describe('why something is to be done'),
  options: z.array(optionSchema).min(1).max(6).describe('leaving it as it is may be one of them'),
  chosen: z.int().min(0).describe('number of the option, from 0'),
  why: noteText.describe('why this one'),
  materials: z.array(shortText).max(20).default([]).describe('generic names'),
  reversibility: noteText.optional().describe('where it is another than the vocabulary says'),
  where: z.enum(['in-place', 'taken-out']),
});
export type ProposalLine = z.infer<typeof proposalLineSchema>;

/** What must be done with a panel that is taken out: consent to one is consent to the other. */
const IMPLIED_BY_TAKING_OUT = ['remove', 'refix', 'secure.face', 'secure.support', 'seal', 'tie'];

/** Keys of the operations that a line allows. */
export function allowedOperations(line: ProposalLine): readonly string[] {
  return [
    ...line.options[line.chosen]!.operations,
    ...(line.where === 'taken-out' ? IMPLIED_BY_TAKING_OUT : []),
  ];
}
