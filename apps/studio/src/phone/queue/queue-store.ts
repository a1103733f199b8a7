/**
 * The queue as it lies on this device: one IndexedDB database with the pictures' records, their bytes
 * where there is no private file system, and a journal that only grows. Every change writes the record
 * and its line of the journal in one durable transaction; each line holds the digest of the one before.
 */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { NotedFinding } from '../findings/noted.js';
import type { Picture } from './picture.js';
import { afterEvent, type PictureEvent } from './picture-steps.js';

export interface JournalLine {
  readonly n: number;
  /** this device's clock, RFC 3339 */
  readonly at: string;
  readonly pictureId: string;
  readonly said: string;
  readonly sha256: string | null;
  /** hex digest of the line before; 64 zeros for the first */
  readonly before: string;
}

interface Schema extends DBSchema {
  pictures: { key: string; value: Picture };
  journal: { key: number; value: JournalLine };
  bytes: { key: string; value: ArrayBuffer };
  /** findings written down on this device */
  notes: { key: string; value: NotedFinding };
}

const FIRST = '0'.repeat(64);
const durable = { durability: 'strict' } as const;
let opening: Promise<IDBPDatabase<Schema>> | undefined;

/** Told in this tab and in every other one after each change. */
export const changes = new EventTarget();
const others =
  typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('mullion-phone');
others?.addEventListener('message', () => changes.dispatchEvent(new Event('changed')));

/** Tells this tab and the others that something changed. */
export function tell(): void {
  changes.dispatchEvent(new Event('changed'));
  others?.postMessage('changed');
}

export function queueDatabase(): Promise<IDBPDatabase<Schema>> {
  opening ??= openDB<Schema>('mullion-phone', 2, {
    upgrade(db, before) {
      db.createObjectStore('notes', { keyPath: 'id' });
      if (before > 0) return;
      db.createObjectStore('pictures', { keyPath: 'id' });
      db.createObjectStore('journal', { keyPath: 'n' });
      db.createObjectStore('bytes');
    },
    blocking(_version, _wanted, event) {
      // A newer page asks for another form of this database: this tab lets go of it.
      (event.target as IDBDatabase).close();
      opening = undefined;
    },
    terminated() {
      opening = undefined;
    },
  });
  return opening;
}

export async function readPictures(): Promise<Picture[]> {
  const pictures = await (await queueDatabase()).getAll('pictures');
  return pictures.sort((a, b) => Date.parse(b.takenAt) - Date.parse(a.takenAt));
}

export async function readPicture(id: string): Promise<Picture | undefined> {
  return (await queueDatabase()).get('pictures', id);
}

export async function readJournal(): Promise<JournalLine[]> {
  return (await queueDatabase()).getAll('journal');
}

/**
 * Writes a picture's first record; one that is known already stays as it is.
 *
 * @returns false when its id was known
 */
export async function addPicture(picture: Picture, said: string): Promise<boolean> {
  const tx = (await queueDatabase()).transaction(['pictures', 'journal'], 'readwrite', durable);
  const known = (await tx.objectStore('pictures').get(picture.id)) !== undefined;
  if (!known) {
    await tx.objectStore('pictures').add(picture);
    await writeLine(tx.objectStore('journal'), picture, said);
  }
  await tx.done;
  if (!known) tell();
  return !known;
}

/**
 * Lets an event happen to a picture as it lies here now, whatever another tab did meanwhile.
 *
 * @returns the picture afterwards; undefined when there is none
 */
export async function happen(id: string, event: PictureEvent): Promise<Picture | undefined> {
  const tx = (await queueDatabase()).transaction(['pictures', 'journal'], 'readwrite', durable);
  const pictures = tx.objectStore('pictures');
  const before = await pictures.get(id);
  const after = before && afterEvent(before, event);
  if (after !== undefined && after !== before) {
    await pictures.put(after);
    await writeLine(tx.objectStore('journal'), after, sayEvent(event, after));
  }
  await tx.done;
  if (after !== before) tell();
  return after;
}

interface LineStore {
  openCursor(query: null, direction: 'prev'): Promise<{ readonly value: JournalLine } | null>;
  add(line: JournalLine): Promise<unknown>;
}

async function writeLine(store: LineStore, picture: Picture, said: string): Promise<void> {
  const last = (await store.openCursor(null, 'prev'))?.value;
  await store.add({
    n: (last?.n ?? 0) + 1,
    at: new Date().toISOString(),
    pictureId: picture.id,
    said,
    sha256: picture.sha256,
    before: last === undefined ? FIRST : digestOfLine(last),
  });
}

/** Hex SHA-256 of a line, its members in their fixed order. */
export function digestOfLine({ n, at, pictureId, said, sha256: of, before }: JournalLine): string {
  return bytesToHex(sha256(utf8ToBytes(JSON.stringify([n, at, pictureId, said, of, before]))));
}

/** The first line that does not follow from the one before it; undefined when all do. */
export function brokenLine(journal: readonly JournalLine[]): JournalLine | undefined {
  return journal.find((line, index) => {
    const before = journal[index - 1];
    return (
      line.n !== index + 1 || line.before !== (before === undefined ? FIRST : digestOfLine(before))
    );
  });
}

function sayEvent(event: PictureEvent, after: Picture): string {
  if (event.kind === 'proven') return `proven in the archive, entry ${after.receipt?.seq}`;
  if (event.kind === 'received') return `received by the archive, entry ${event.receipt.seq}`;
  if (event.kind === 'failed' || event.kind === 'refused' || event.kind === 'not-kept')
    return `${event.kind}: ${event.why}`;
  return event.kind;
}
