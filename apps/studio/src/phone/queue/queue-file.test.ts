/**
 * What lies only on one device goes out as a file and comes in again: on IndexedDB that is not a browser's
 * (fake-indexeddb), the file read by another program (yauzl).
 */
import 'fake-indexeddb/auto';
import { createHash, randomUUID } from 'node:crypto';
import { fromBufferPromise } from 'yauzl';
import type { FindingBody } from '../../platform/api/findings.js';
import { freshNote } from '../findings/noted.js';
import { rakingJob } from './job.fixture.js';
import { freshPicture } from './picture.js';

const ARCHIVE = 'archive-1';
const [WINDOW, PANEL] = [randomUUID(), randomUUID()];

class MemoryStorage implements Storage {
  readonly #kept = new Map<string, string>();
  get length() {
    return this.#kept.size;
  }
  key = (at: number) => [...this.#kept.keys()][at] ?? null;
  getItem = (key: string) => this.#kept.get(key) ?? null;
  setItem = (key: string, value: string) => void this.#kept.set(key, value);
  removeItem = (key: string) => void this.#kept.delete(key);
  clear = () => {
    this.#kept.clear();
  };
}

let file: typeof import('./queue-file.js');
let store: typeof import('./queue-store.js');
let notes: typeof import('../findings/note-store.js');
let keep: typeof import('./keep-picture.js');
beforeAll(async () => {
  Object.assign(globalThis, { BroadcastChannel: undefined, localStorage: new MemoryStorage() });
  [file, store, notes, keep] = await Promise.all([
    import('./queue-file.js'),
    import('./queue-store.js'),
    import('../findings/note-store.js'),
    import('./keep-picture.js'),
  ]);
});

/** As when the phone clears what a page stored. */
async function loseStorage(): Promise<void> {
  const db = await store.queueDatabase();
  for (const name of ['pictures', 'journal', 'bytes', 'notes'] as const) await db.clear(name);
  localStorage.clear();
}

const silent = () => undefined;
const crack = (note: string): FindingBody => ({
  term: 'glass.crack.simple',
  geometry: {
    kind: 'line',
    xyMm: [
      [10, 10],
      [60.25, 12],
    ],
  },
  face: 'inside',
  note,
});
const noteOf = (words: string) =>
  freshNote({
    id: randomUUID(),
    key: randomUUID(),
    archiveId: ARCHIVE,
    panelId: PANEL,
    mark: 'SLM.wI.2b.17',
    notedAt: '2026-03-04T10:00:00Z',
    body: crack(words),
    measureText: '50 mm',
    corrects: null,
  });
const bytes = Buffer.from('the bytes of a photograph');
const lifts = { '17': { mark: '17', is: 'lifted' }, '18': { mark: '18', is: 'broken' } };
const visit = {
  key: randomUUID(),
  happened: '2026-03-04',
  said: Object.fromEntries(
    (await import('../../survey/survey-draft.js')).SAID_FIELDS.map((field) => [
      field,
      field === 'purpose' ? 'before the scaffold' : '',
    ]),
  ),
  panels: {
    [PANEL]: {
      conditionClass: '2',
      urgency: '1',
      recommendation: null,
      reason: 'leads broken',
      setAside: {},
    },
  },
};

async function fill() {
  const picture = freshPicture({
    id: randomUUID(),
    archiveId: ARCHIVE,
    takenAt: '2026-03-04T10:00:00+00:00',
    fileName: 'shot.jpg',
    contentType: 'image/jpeg',
    sizeBytes: bytes.length,
    job: { ...rakingJob, siteId: randomUUID() },
  });
  const digest = `sha256:${createHash('sha256').update(bytes).digest('hex')}`;
  await keep.writeDown(picture, new Blob([bytes]), digest);
  const waiting = noteOf('seen from the scaffold');
  const [refused, proven, discarded] = [noteOf('refused'), noteOf('proven'), noteOf('discarded')];
  for (const note of [waiting, refused, proven, discarded]) await notes.addNote(note);
  await notes.noted(refused.id, { kind: 'refused', why: 'no' });
  await notes.noted(proven.id, {
    kind: 'received',
    receipt: { findingId: proven.id, logId: 's', seq: 4 },
  });
  await notes.noted(proven.id, { kind: 'proven' });
  await notes.noted(discarded.id, { kind: 'discarded' });
  localStorage.setItem(`lifts ${PANEL}`, JSON.stringify(lifts));
  localStorage.setItem(`survey ${WINDOW}`, JSON.stringify(visit));
  // what is no list of this kind, or nothing was said on, stays out
  localStorage.setItem(`lifts ${randomUUID()}`, '{}');
  localStorage.setItem('mullion manner', '{"language":"en"}');
  return { picture, waiting, refused };
}

it('brings everything that lay only here back after the storage was lost, and doubles nothing', async () => {
  const { picture, waiting, refused } = await fill();
  const out = await file.exportQueue(ARCHIVE, silent);
  expect(out.counts).toEqual({ pictures: 1, findings: 2, lists: 2 });
  expect(await namesInZip(Buffer.from(await out.file.arrayBuffer()))).toEqual([
    `pictures/${picture.id}`,
    'queue.json',
  ]);
  await loseStorage();
  const back = await file.importQueue(out.file, ARCHIVE, silent);
  expect(back).toEqual({
    added: { pictures: 1, findings: 2, lists: 2 },
    known: { pictures: 0, findings: 0, lists: 0 },
    failed: [],
  });
  const read = await notes.readNotes();
  expect(read.map(({ id }) => id).toSorted()).toEqual([waiting.id, refused.id].toSorted());
  // under the key of the first device, so that one person's two devices record it once
  expect(read.find(({ id }) => id === waiting.id)).toEqual(waiting);
  expect(read.find(({ id }) => id === refused.id)).toMatchObject({ state: 'waiting', why: null });
  expect((await store.readPicture(picture.id))?.sha256).toBe(
    createHash('sha256').update(bytes).digest('hex'),
  );
  expect(JSON.parse(localStorage.getItem(`lifts ${PANEL}`)!)).toEqual(lifts);
  expect(JSON.parse(localStorage.getItem(`survey ${WINDOW}`)!)).toEqual(visit);

  const again = await file.importQueue(out.file, ARCHIVE, silent);
  expect(again).toEqual({
    added: { pictures: 0, findings: 0, lists: 0 },
    known: { pictures: 1, findings: 2, lists: 2 },
    failed: [],
  });
  expect(await notes.readNotes()).toHaveLength(2);
});

it('adds to a list that was begun here too, and changes no word of it', async () => {
  await loseStorage();
  await fill();
  const { file: out } = await file.exportQueue(ARCHIVE, silent);
  const mine = { '18': { mark: '18', is: 'lifted' } };
  localStorage.setItem(`lifts ${PANEL}`, JSON.stringify(mine));
  const { added, failed } = await file.importQueue(out, ARCHIVE, silent);
  expect(added.lists).toBe(1);
  expect(failed).toEqual([expect.stringMatching(/1 place differs, and what was said here stands/)]);
  expect(JSON.parse(localStorage.getItem(`lifts ${PANEL}`)!)).toEqual({
    ...mine,
    '17': { mark: '17', is: 'lifted' },
  });
});

it('takes nothing of another archive, and nothing that is no such file', async () => {
  await loseStorage();
  await fill();
  const { file: out } = await file.exportQueue(ARCHIVE, silent);
  await loseStorage();
  await expect(file.importQueue(out, 'archive-2', silent)).rejects.toThrow(/another archive/);
  await expect(file.importQueue(new Blob(['no zip']), ARCHIVE, silent)).rejects.toThrow(
    /not the export/,
  );
  expect(await notes.readNotes()).toEqual([]);
  expect(localStorage.length).toBe(0);
});

async function namesInZip(zipped: Buffer): Promise<string[]> {
  const names: string[] = [];
  const zip = await fromBufferPromise(zipped);
  for await (const { fileName } of zip.eachEntry()) names.push(fileName);
  return names;
}
