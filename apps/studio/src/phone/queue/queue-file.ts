/**
 * The queue as one zip file: `queue.json` (records and journal) and `pictures/<id>`, stored as they are. Any
 * unzip opens it; another device takes it up with the same ids, so that nothing is attached twice.
 */
import {
  BlobReader,
  BlobWriter,
  type Entry,
  type FileEntry,
  TextReader,
  TextWriter,
  ZipReader,
  ZipWriter,
} from '@zip.js/zip.js';
import { z } from 'zod';
import { lightKinds, mediaKinds, stages } from '../../platform/api/media.js';
import { say } from '../../platform/language/say.js';
import { makeRoom } from './device-room.js';
import { NotKept, writeDown } from './keep-picture.js';
import { notInArchive } from './not-in-archive.js';
import { freshPicture, type Picture } from './picture.js';
import { readBytes } from './picture-bytes.js';
import { happen, readJournal, readPicture, readPictures } from './queue-store.js';

const FORMAT = 'mullion-phone-queue/1';
const plain = { level: 0, useWebWorkers: false } as const;

const queueJson = z.object({
  format: z.literal(FORMAT),
  pictures: z.array(
    z.object({
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
        face: z.enum(['inside', 'outside']),
        layer: z.enum(['front', 'back']),
        author: z.string(),
        note: z.string(),
      }),
    }),
  ),
});

/**
 * Everything that is not proven to be in the archive, as one file.
 *
 * @param onRatio told how far it is, 0 to 1
 */
export async function exportQueue(onRatio: (ratio: number) => void): Promise<File> {
  const pictures = (await readPictures()).filter(notInArchive);
  const zip = new ZipWriter(new BlobWriter('application/zip'), plain);
  const whole: Picture[] = [];
  for (const [index, picture] of pictures.entries()) {
    const bytes = await readBytes(picture.id);
    if (bytes?.size === picture.sizeBytes) {
      await zip.add(`pictures/${picture.id}`, new BlobReader(bytes));
      whole.push(picture);
    }
    onRatio((index + 1) / pictures.length);
  }
  const said = { format: FORMAT, exportedAt: new Date().toISOString(), pictures: whole };
  const text = JSON.stringify({ ...said, journal: await readJournal() }, null, 1);
  await zip.add('queue.json', new TextReader(text));
  const day = new Date().toISOString().slice(0, 10);
  return new File([await zip.close()], `photographs-not-yet-in-the-archive-${day}.zip`, {
    type: 'application/zip',
  });
}

export interface Imported {
  readonly added: number;
  /** here already, by their id */
  readonly known: number;
  /** one sentence each */
  readonly failed: readonly string[];
}

/**
 * Takes up a queue that another device exported; each picture is held against its digest.
 *
 * @throws NotKept when the file is no such export or belongs to another archive
 */
export async function importQueue(
  file: Blob,
  archiveId: string,
  onRatio: (ratio: number) => void,
): Promise<Imported> {
  const zip = new ZipReader(new BlobReader(file), { useWebWorkers: false });
  try {
    const entries = await zip.getEntries().catch(() => [] as Entry[]);
    const byName = new Map(entries.filter(isFile).map((entry) => [entry.filename, entry]));
    const text = await byName.get('queue.json')?.getData(new TextWriter());
    const read = queueJson.safeParse(parsedJson(text));
    if (!read.success) throw new NotKept(say('This file is not the export of a phone’s queue.'));
    const { pictures } = read.data;
    if (pictures.some((picture) => picture.archiveId !== archiveId))
      throw new NotKept(
        say('These photographs were taken for another archive. Open that one, then import.'),
      );
    let added = 0;
    let known = 0;
    const failed: string[] = [];
    for (const [index, { state, ...picture }] of pictures.entries()) {
      if ((await readPicture(picture.id)) !== undefined) known++;
      else {
        const bytes = await byName.get(`pictures/${picture.id}`)?.getData(new BlobWriter());
        const why = await takeUp({ ...picture, state }, bytes);
        if (why === undefined) added++;
        else failed.push(`${picture.fileName}: ${why}`);
      }
      onRatio((index + 1) / pictures.length);
    }
    return { added, known, failed };
  } finally {
    await zip.close();
  }
}

async function takeUp(
  picture: z.infer<typeof queueJson>['pictures'][number],
  bytes: Blob | undefined,
): Promise<string | undefined> {
  if (bytes === undefined) return say('its bytes are not in the file');
  if (!(await makeRoom(bytes.size))) return say('there is no room for it here');
  try {
    await writeDown(freshPicture(picture), bytes, `sha256:${picture.sha256}`);
    // who was asked about a held picture is asked on the other device too; here it may go
    const { job } = picture;
    if (job.kind === 'rubbing' && picture.state !== 'held')
      await happen(picture.id, { kind: 'let-go', job });
    return undefined;
  } catch (error) {
    if (error instanceof NotKept) return error.message;
    throw error;
  }
}

const isFile = (entry: Entry): entry is FileEntry => !entry.directory;

function parsedJson(text: string | undefined): unknown {
  try {
    return JSON.parse(text ?? '');
  } catch {
    return undefined;
  }
}
