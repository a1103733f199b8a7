/** What a search may be asked by, as it comes in an address. */
import { z } from 'zod';
import { STAGES } from '#libs/archive';

export const SEARCH_KINDS = [
  'finding',
  'intervention',
  'media',
  'panel',
  'window',
  'piece',
  'alias',
  'joining',
] as const;

/** One or several, as `?operation=a&operation=b`: any of them. */
const several = z
  .union([z.string().max(200), z.array(z.string().max(200)).max(50)])
  .optional()
  .transform((said) => (said === undefined ? [] : [said].flat()));

const day = z.string().max(64).optional();

export const searchFilters = z.object({
  q: z.string().max(200).default('').describe('words, each also as a beginning; without accents'),
  site: z.string().max(64).optional().describe('siteId or mark of the site'),
  mark: several.describe(
    'marks or earlier numbers, in full or from the window on: sII, SLM.sII.2b; what lies in them is found too',
  ),
  window: z.string().max(64).optional().describe('as mark'),
  kind: z.enum(SEARCH_KINDS).optional(),
  stage: z.enum(STAGES).optional(),
  operation: several.describe('keys of /v1/operations'),
  term: several.describe('keys of /v1/terms'),
  material: several.describe('as recorded, in any case'),
  role: several.describe('glazier, painter, … as recorded, in any case'),
  shows: several.describe('what the piece shows: face, border, … or as described'),
  technique: several.describe('how a piece is made: flashed, plated, silver-stain, …'),
  generations: z.coerce
    .number()
    .int()
    .min(2)
    .max(9)
    .optional()
    .describe('pieces of which so many generations of glass are known, or more'),
  from: day.describe(
    'happened on or after: EDTF, its first day counts; about (~) is 5 years of a year',
  ),
  to: day.describe('happened on or before: EDTF, its last day counts'),
  dates: z
    .enum(['possibly', 'certainly'])
    .default('possibly')
    .describe('possibly: the date may lie within; certainly: it cannot lie elsewhere'),
  in: z.string().max(64).optional().describe('mark of the panel or window that `area` is drawn on'),
  area: z
    .string()
    .max(20_000)
    .optional()
    .describe('x,y x,y x,y …: corners in mm, in the frame of the panel or window'),
});

export type SearchFilters = z.output<typeof searchFilters>;

/** What hits are counted by. */
export const FACETS = [
  'kind',
  'operation',
  'term',
  'material',
  'role',
  'shows',
  'technique',
  'window',
  'decade',
  'generations',
  'stage',
] as const;
export type FacetName = (typeof FACETS)[number];
