/**
 * The queue as one zip file: `queue.json` (records, findings, lists and the journal) and `pictures/<id>`,
 * stored as they are. Any unzip opens it; another device takes it up with the same ids, so that nothing is
 * in the archive twice.
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
import { say } from '../../platform/language/say.js';
import { addNote, readNotes } from '../findings/note-store.js';
import { freshNote, isOnlyHere } from '../findings/noted.js';
import { makeRoom } from './device-room.js';
import { NotKept, writeDown } from './keep-picture.js';
import { type KeptList, readLists, takeUpList } from './kept-lists.js';
import { notInArchive } from './not-in-archive.js';
import { freshPicture, type Picture } from './picture.js';
import { readBytes } from './picture-bytes.js';
import { type ExportedPicture, readQueue, writeQueue } from './queue-json.js';
import { happen, readJournal, readPicture, readPictures } from './queue-store.js';

const plain = { level: 0, useWebWorkers: false } as const;

/** How many of each kind. */
export interface Counts {
  readonly pictures: number;
  readonly findings: number;
  readonly lists: number;
}

/**
 * Everything that is not proven to be in the archive, as one file.
 *
 * @param onRatio told how far it is, 0 to 1
 */
export async function exportQueue(
  archiveId: string,
  onRatio: (ratio: number) => void,
): Promise<{ readonly file: File; readonly counts: Counts }> {
  const pictures = (await readPictures()).filter(notInArchive);
  const notes = (await readNotes()).filter(isOnlyHere);
  const lists = readLists(localStorage);
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
  const exportedAt = new Date().toISOString();
  const journal = await readJournal();
  const text = writeQueue({ exportedAt, archiveId, pictures: whole, notes, lists, journal });
  await zip.add('queue.json', new TextReader(text));
  const name = `not-yet-in-the-archive-${exportedAt.slice(0, 10)}.zip`;
  return {
    file: new File([await zip.close()], name, { type: 'application/zip' }),
    counts: { pictures: whole.length, findings: notes.length, lists: lists.length },
  };
}

export interface Imported {
  readonly added: Counts;
  /** here already, pictures and findings by their id */
  readonly known: Counts;
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
    const queue = readQueue(await byName.get('queue.json')?.getData(new TextWriter()));
    if (queue === undefined)
      throw new NotKept(say('This file is not the export of a phone’s queue.'));
    const { pictures, notes, lists, unreadLists, archiveIds } = queue;
    if ([...archiveIds].some((one) => one !== archiveId))
      throw new NotKept(
        say('What is in this file was kept for another archive. Open that one, then take it up.'),
      );
    const added = { pictures: 0, findings: 0, lists: 0 };
    const known = { ...added };
    const failed: string[] = [];
    // What is small first: a device that runs full keeps at least that.
    for (const note of notes) {
      const isNew = await addNote(freshNote(note));
      (isNew ? added : known).findings++;
    }
    for (const list of lists) {
      const { isAdded, why } = takeUpKept(list);
      if (isAdded) added.lists++;
      else if (why === null) known.lists++;
      if (why !== null) failed.push(why);
    }
    if (unreadLists > 0)
      failed.push(
        say(
          '{unreadLists, plural, one {# list} other {# lists}} of the file cannot be read here. Keep the file.',
          { unreadLists },
        ),
      );
    for (const [index, picture] of pictures.entries()) {
      if ((await readPicture(picture.id)) !== undefined) known.pictures++;
      else {
        const bytes = await byName.get(`pictures/${picture.id}`)?.getData(new BlobWriter());
        const why = await takeUp(picture, bytes);
        if (why === undefined) added.pictures++;
        else failed.push(`${picture.fileName}: ${why}`);
      }
      onRatio((index + 1) / pictures.length);
    }
    return { added, known, failed };
  } finally {
    await zip.close();
  }
}

function takeUpKept(list: KeptList): { readonly isAdded: boolean; readonly why: string | null } {
  try {
    const { isAdded, differing } = takeUpList(localStorage, list);
    if (differing === 0) return { isAdded, why: null };
    const why = say(
      'A list of the file was begun here too: {differing, plural, one {# place differs} other {# places differ}}, and what was said here stands. Keep the file until somebody compared them.',
      { differing },
    );
    return { isAdded, why };
  } catch {
    return { isAdded: false, why: say('There is no room here for a list of the file. Keep it.') };
  }
}

async function takeUp(
  { state, ...picture }: ExportedPicture,
  bytes: Blob | undefined,
): Promise<string | undefined> {
  if (bytes === undefined) return say('its bytes are not in the file');
  if (!(await makeRoom(bytes.size))) return say('there is no room for it here');
  try {
    await writeDown(freshPicture(picture), bytes, `sha256:${picture.sha256}`);
    // who was asked about a held picture is asked on the other device too; here it may go
    const { job } = picture;
    if (job.kind === 'rubbing' && state !== 'held')
      await happen(picture.id, { kind: 'let-go', job });
    return undefined;
  } catch (error) {
    if (error instanceof NotKept) return error.message;
    throw error;
  }
}

const isFile = (entry: Entry): entry is FileEntry => !entry.directory;
