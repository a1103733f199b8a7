/**
 * Words that screens take from tables and answers instead of saying them themselves: the vocabulary's
 * labels and definitions, and what stands for a kind, a state or a role.
 */
import { MATERIALS } from '#libs/structure';
import {
  CAUTIONS,
  CONDITION_WORDS,
  cautionText,
  DEFERRAL,
  FATES,
  FINDING_TERMS,
  FLAG_KINDS,
  OPERATION_GROUPS,
  OPERATIONS,
  PIECE_SUBJECTS,
  RECOMMENDATION_WORDS,
  STRUCTURAL_DEFERRAL,
  TECHNIQUES,
  TERM_GROUPS,
  TEST_KINDS,
  URGENCY_WORDS,
} from '#libs/vocabulary';

const words = (text: string): readonly string[] => text.split(', ');

/** As the API's schemas and the pure libraries name them. */
const kinds = [
  ...words('inside, outside, both, front, back'),
  ...words('photograph, photographs, rubbing, rubbings, drawing, drawings, document, documents'),
  ...words('transmitted, reflected, raking, mixed, before, during, after, undated'),
  ...words('reader, recorder, conservator, approver, keeper, read, write, everywhere'),
  ...words('measured, computed, estimated, rubbed, not rubbed, with, without'),
  ...words('findings, front, fade, swipe, blink, round, flat, tee, tube'),
  ...words('this panel, its pieces, all panels, crate'),
  // what happened, as the strip of time is told
  ...words(
    'back in place, taken out, on the bench, rebuilt, lead drawing made, lead drawing signed',
  ),
  'not rubbed, for a reason',
  // stages of long work
  ...words(
    'asking witnesses, gathering, writing, keeping, reading the picture, looking for the tags',
  ),
  ...words('reading the wax, storing, waiting, running'),
  ...words('finding the shards, trying edges against edges'),
  ...words('Seen square-on, The wax alone, Where a came may lie, Pieces between the leads'),
  ...words('Fitted lines, Leads at their width, What to look at'),
  // what a line of an estimate is counted by
  ...words('piece, m lead, joint, m², panel, kg, h, once').map((unit) => `counted by: ${unit}`),
  // what a panel weighs by; as work they are other words
  ...words('solder, cement').map((part) => `weight: ${part}`),
  // kinds of lead
  ...words('lead, outer lead, mending lead, strap lead, foil joint, broken lead'),
];

export const archiveWords = (): readonly string[] => [
  ...new Set([
    ...Object.values(TERM_GROUPS).map(({ label }) => label),
    ...Object.values(OPERATION_GROUPS),
    ...FINDING_TERMS.flatMap(({ label, definition }) => [label, definition]),
    ...[...TECHNIQUES, ...FATES].map(({ label }) => label),
    ...TEST_KINDS.flatMap(({ label, definition, untilKnown, outcomes }) => [
      label,
      definition,
      untilKnown,
      ...outcomes.map((one) => one.label),
    ]),
    ...OPERATIONS.flatMap(({ label, definition, reversibility }) => [
      label,
      definition,
      reversibility,
    ]),
    ...CAUTIONS.flatMap((caution) => [caution.hazard, cautionText(caution, null, '2026-01-01')]),
    DEFERRAL,
    STRUCTURAL_DEFERRAL,
    ...Object.values(CONDITION_WORDS).flatMap(({ label, meaning }) => [label, meaning]),
    ...Object.values(URGENCY_WORDS).map(({ label }) => `urgency: ${label}`),
    ...Object.values(RECOMMENDATION_WORDS).map(({ label }) => `recommended: ${label}`),
    ...PIECE_SUBJECTS.map(({ label }) => `piece shows: ${label}`),
    ...Object.values(FLAG_KINDS).map(({ label }) => label),
    ...MATERIALS.map(({ label }) => label),
    ...kinds,
  ]),
];
