/** `queue.json` of an exported queue: what lies in it, and how it is read. Earlier forms are read too. */
import { z } from 'zod';
import type { Finding } from '../../platform/api/findings.js';
import { lightKinds, mediaKinds, stages } from '../../platform/api/media.js';
import type { NotedFinding } from '../findings/noted.js';
import { type KeptList, listOf } from './kept-lists.js';
import type { Picture } from './picture.js';
import type { JournalLine } from './queue-store.js';
import { readJson } from './read-json.js';

const FORMAT = 'mullion-phone-queue/2';
/** the form before held pictures alone */
const PICTURES_ONLY = 'mullion-phone-queue/1';

const face = z.enum(['inside', 'outside']);
const layer = z.enum(['front', 'back']);
const xyMm = z.array(z.tuple([z.number(), z.number()])).min(1);
const geometry = z.object({ kind: z.enum(['point', 'line', 'area']), xyMm });

const pictureJson = z.object({
  id: z.uuid(),
  archiveId: z.string(),
  takenAt: z.string(),
  fileName: z.string().min(1).max(255),
  contentType: z.string(),
  sizeBytes: z.int().positive(),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  state: z.string(),
  job: z.object({
    siteId: z.uuid(),
    mark: z.string().min(1),
    kind: z.enum(mediaKinds),
    light: z.enum(lightKinds),
    clockHour: z.number().nullable(),
    elevationDeg: z.number().nullable(),
    stage: z.enum(stages),
    face,
    layer,
    author: z.string(),
    note: z.string(),
  }),
});

const correctedJson = z.looseObject({
  findingId: z.uuid(),
  panelId: z.uuid(),
  term: z.string(),
  geometry,
  evidence: z.array(z.uuid()),
  version: z.int(),
});

const noteJson = z.object({
  id: z.uuid(),
  key: z.uuid(),
  archiveId: z.string(),
  panelId: z.uuid(),
  mark: z.string().min(1),
  notedAt: z.iso.datetime({ offset: true }),
  body: z.looseObject({ term: z.string().min(1), geometry, face }),
  measureText: z.string(),
  corrects: correctedJson.nullable(),
});

const queueJson = z.object({
  format: z.enum([FORMAT, PICTURES_ONLY]),
  archiveId: z.string().optional(),
  pictures: z.array(pictureJson),
  notes: z.array(noteJson).default([]),
  lists: z.array(z.unknown()).default([]),
});

export type ExportedPicture = z.infer<typeof pictureJson>;
export type ExportedNote = Pick<
  NotedFinding,
  'id' | 'key' | 'archiveId' | 'panelId' | 'mark' | 'notedAt' | 'body' | 'measureText' | 'corrects'
>;

export interface ExportedQueue {
  readonly pictures: readonly ExportedPicture[];
  readonly notes: readonly ExportedNote[];
  readonly lists: readonly KeptList[];
  /** lists that could not be read */
  readonly unreadLists: number;
  /** of which archive each part is */
  readonly archiveIds: ReadonlySet<string>;
}

/** @param exportedAt RFC 3339 */
export function writeQueue(queue: {
  readonly exportedAt: string;
  readonly archiveId: string;
  readonly pictures: readonly Picture[];
  readonly notes: readonly NotedFinding[];
  readonly lists: readonly KeptList[];
  readonly journal: readonly JournalLine[];
}): string {
  return JSON.stringify({ format: FORMAT, ...queue }, null, 1);
}

/** @returns undefined when the text is no exported queue */
export function readQueue(text: string | undefined): ExportedQueue | undefined {
  const read = queueJson.safeParse(readJson(text));
  if (!read.success) return undefined;
  const { archiveId, pictures, notes } = read.data;
  const lists = read.data.lists.map(listOf);
  const known = lists.filter((list) => list !== null);
  return {
    pictures,
    // what a person only looks at is not checked; what the archive is asked with, it checks itself
    notes: notes.map((note) => ({
      ...note,
      corrects: note.corrects as unknown as Finding | null,
    })),
    lists: known,
    unreadLists: lists.length - known.length,
    archiveIds: new Set([
      ...(archiveId === undefined ? [] : [archiveId]),
      ...[...pictures, ...notes].map((one) => one.archiveId),
    ]),
  };
}
