import { z } from 'zod';
import { entryName } from '#libs/ledger';
import { Problem } from '#libs/problem';
import { type CommandContext, defineCommand, type ProjectedEntry } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { placedName } from '../names/name-places.js';
import { type EntryName, sealName } from '../names/sealed-name.js';
import { siteOf, sitePlace } from '../place.js';
import type { MediaRow } from '../rows.js';
import { makeFindable, mediaWords } from '../search-row.js';
import { faceSchema, idSchema, layerSchema, markText, noteText, shortText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import {
  deriveJobId,
  lightSchema,
  MEDIA_KINDS,
  type MediaAnswer,
  mediaView,
  STAGES,
} from '../views/media-view.js';
import { refuseWithdrawn } from '../withdrawn.js';
import { without } from '../without.js';

export const MEDIA_DERIVE_QUEUE = 'media.derive';

/** What a person says about a picture or document. */
export const mediaDescription = z.strictObject({
  kind: z.enum(MEDIA_KINDS),
  light: lightSchema.optional(),
  stage: z.enum(STAGES).default('undated'),
  face: faceSchema.optional(),
  layer: layerSchema.optional(),
  subjects: z
    .array(markText)
    .max(200)
    .default([])
    .describe('marks in full or from the window on; none: the site as a whole'),
  author: shortText.optional(),
  happened: happenedSchema.optional(),
  note: noteText.optional(),
});

/** What the bytes are, found by decoding them. */
const mediaFile = z.strictObject({
  digest: z.string().regex(/^sha256:[0-9a-f]{64}$/),
  sizeBytes: z.int().min(1),
  contentType: z.string(),
  widthPx: z.int().min(1).optional(),
  heightPx: z.int().min(1).optional(),
  bitsPerSample: z.int().optional(),
  orientation: z.int().min(1).max(8).describe('EXIF, of the stored picture'),
  colourSpace: z.string().optional(),
  exif: z
    .strictObject({
      open: z.record(z.string(), z.union([z.string(), z.number()])),
      keptInOriginal: z.array(z.string()),
    })
    .optional(),
  notes: z.array(z.string()),
});

/** Run by the intake of files once the object is durable; never a body of its own. */
export const attachMedia = defineCommand({
  type: 'media.attach',
  body: mediaDescription.extend({
    siteId: idSchema,
    fileName: z.string().trim().min(1).max(255),
    asReceived: z.boolean().default(false),
    file: mediaFile,
    uploadId: idSchema.optional().describe('the resumable upload that ends with this'),
  }),
  role: 'recorder',
  target: 'site',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, fileName, asReceived, file, uploadId: _, ...said }, ctx) {
    const described = await checkedDescription(ctx.tx, siteId, said, file.contentType);
    const [twin] = await Promise.all([
      findAttached(ctx.tx, siteId, file.digest, described.subjects),
      refuseWithdrawn(ctx.tx, file.digest),
    ]);
    if (twin !== undefined) {
      throw new Problem(
        'media-attached',
        `These bytes are already in the archive, ${entryName(Number(twin.entrySeq))}, under the same marks. Describe that one anew instead.`,
        { mediaId: twin.mediaId, entrySeq: Number(twin.entrySeq) },
      );
    }
    const mediaId = ctx.newId();
    const subject = described.subjects[0] ?? (await sitePlace(ctx.tx, siteId)).siteMark;
    return {
      log: { siteId },
      subject,
      happened: described.happened,
      payload: {
        v: 2 as const,
        mediaId,
        fileName,
        asReceived,
        file,
        ...(await sealedAuthor(ctx, siteId, described)),
      },
      objects: [{ digest: file.digest, sizeBytes: file.sizeBytes, role: 'original' }],
      jobs:
        file.widthPx === undefined
          ? []
          : [
              {
                queue: MEDIA_DERIVE_QUEUE,
                jobId: deriveJobId(mediaId),
                siteId,
                subject,
                data: { mediaId, digest: file.digest },
              },
            ],
    };
  },
  async project(entry, tx) {
    const { mediaId, fileName, asReceived, file, ...said } = without(entry.payload, 'v');
    // of a row that is new no name is to be taken out
    const described =
      said.author === null
        ? { ...said, author: null }
        : await shownAuthor(tx, entry, mediaId, said);
    await putRow(tx, 'media', {
      siteId: entry.siteId!,
      mediaId,
      digest: file.digest,
      fileName,
      contentType: file.contentType,
      sizeBytes: file.sizeBytes,
      widthPx: file.widthPx ?? null,
      heightPx: file.heightPx ?? null,
      ...described,
      exif: file.exif ?? null,
      asReceived,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
    await makeMediaFindable(tx, entry, mediaId, fileName, described);
  },
  async beside({ uploadId }, { payload }, tx) {
    if (uploadId === undefined) return;
    const text = 'UPDATE upload SET media_id = $2 WHERE upload_id = $1';
    await tx.write(text, [uploadId, payload.mediaId], ['upload']);
  },
  answer: ({ payload }, tx) => answered(tx, payload.mediaId),
});

/** Says anew what a picture shows; the bytes stay what they are. */
export const describeMedia = defineCommand({
  type: 'media.describe',
  body: mediaDescription.extend({ mediaId: idSchema }),
  role: 'recorder',
  target: 'media',
  siteOf: ({ mediaId }, tx) => siteOf(tx, 'media', mediaId),
  async decide({ mediaId, ...said }, ctx) {
    const row = await findRow(ctx.tx, 'media', { mediaId });
    if (row === undefined) throw unknown('media');
    ctx.expectVersion(row.version);
    const described = await checkedDescription(ctx.tx, row.siteId, said, row.contentType);
    return {
      log: { siteId: row.siteId },
      subject: described.subjects[0] ?? (await sitePlace(ctx.tx, row.siteId)).siteMark,
      happened: described.happened,
      payload: {
        v: 2 as const,
        mediaId,
        fileName: row.fileName,
        ...(await sealedAuthor(ctx, row.siteId, described)),
      },
      supersedes: { seq: Number(row.version) },
    };
  },
  async project(entry, tx) {
    const { mediaId, fileName, ...said } = without(entry.payload, 'v');
    const described = await shownAuthor(tx, entry, mediaId, said);
    await changeRows(tx, 'media', { mediaId }, { ...described, version: entry.seq });
    await makeMediaFindable(tx, entry, mediaId, fileName, described);
  },
  answer: ({ payload }, tx) => answered(tx, payload.mediaId),
});

/** A media of the site with these bytes under these very marks. */
export async function findAttached(
  tx: Tx,
  siteId: string,
  digest: string,
  subjects: readonly string[],
): Promise<MediaRow | undefined> {
  const wanted = [...subjects].sort().join(' ');
  const rows = await findRows(tx, 'media', { siteId, digest }, 'ORDER BY entry_seq');
  return rows.find((row) => [...row.subjects].sort().join(' ') === wanted);
}

type Described = Pick<
  MediaRow,
  'kind' | 'light' | 'stage' | 'face' | 'layer' | 'subjects' | 'author' | 'happened' | 'note'
>;

/**
 * What is said, with full marks and a checked date.
 *
 * @throws {Problem} `request-invalid`, `subject-unknown`, `date-invalid`
 */
export async function checkedDescription(
  tx: Tx,
  siteId: string,
  said: z.infer<typeof mediaDescription>,
  contentType: string,
): Promise<Described> {
  checkKind(said, contentType);
  return {
    kind: said.kind,
    light: said.light ?? null,
    stage: said.stage,
    face: said.face ?? null,
    layer: said.layer ?? null,
    subjects: await checkedSubjects(tx, siteId, said.subjects),
    author: said.author ?? null,
    happened: checkedEdtf(said.happened),
    note: said.note ?? null,
  };
}

/** @throws {Problem} `request-invalid` when a document is called a picture */
export function checkKind(
  { kind }: Pick<z.infer<typeof mediaDescription>, 'kind'>,
  contentType: string,
): void {
  if (contentType.startsWith('image/') || kind === 'document' || kind === 'drawing') return;
  throw new Problem(
    'request-invalid',
    `kind: a ${contentType} is kept as document or drawing, not as ${kind}. Send the picture itself as JPEG or TIFF.`,
    { field: 'kind' },
  );
}

type SealedDescription = Omit<Described, 'author'> & { author: EntryName | null };

async function sealedAuthor(
  { tx, now }: Pick<CommandContext, 'tx' | 'now'>,
  siteId: string,
  described: Described,
): Promise<SealedDescription> {
  const { author } = described;
  const sealed =
    author === null ? null : await sealName(tx, author, { siteId, field: 'author' }, now);
  return { ...described, author: sealed };
}

async function shownAuthor(
  tx: Tx,
  entry: ProjectedEntry,
  mediaId: string,
  said: SealedDescription,
): Promise<Described> {
  const at = { kind: 'media', rowId: mediaId, field: 'author' } as const;
  return { ...said, author: await placedName(tx, entry, at, said.author) };
}

function makeMediaFindable(
  tx: Tx,
  entry: ProjectedEntry,
  mediaId: string,
  fileName: string,
  described: Described,
): Promise<void> {
  return makeFindable(tx, entry, {
    kind: 'media',
    rowId: mediaId,
    subject: entry.subject!,
    windowMark: entry.subject!.split('.')[1] ?? null,
    stage: described.stage,
    title: fileName,
    text: mediaWords(described),
    ...(described.subjects.length === 0 ? {} : { facts: { marks: described.subjects } }),
  });
}

async function answered(tx: Tx, mediaId: string): Promise<MediaAnswer> {
  return mediaView(tx, (await findRow(tx, 'media', { mediaId }))!);
}
