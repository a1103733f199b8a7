/** The queue's records and journal, on an IndexedDB that is not a browser's (fake-indexeddb). */
import 'fake-indexeddb/auto';
import { usualJob } from '../use-job.js';
import { freshPicture } from './picture.js';

const job = usualJob('s', 'SLM.wI.2b');
const picture = (id: string) =>
  freshPicture({
    id,
    archiveId: 'a',
    takenAt: '2026-03-04T10:00:00+00:00',
    fileName: `${id}.jpg`,
    contentType: 'image/jpeg',
    sizeBytes: 3,
    job,
  });

let store: typeof import('./queue-store.js');
beforeAll(async () => {
  // Node's channel would keep the test alive
  Object.assign(globalThis, { BroadcastChannel: undefined });
  store = await import('./queue-store.js');
});

it('writes each change with its line, and the lines follow from one another', async () => {
  expect(await store.addPicture(picture('p1'), 'taken')).toBe(true);
  expect(await store.addPicture(picture('p1'), 'taken')).toBe(false);
  await store.happen('p1', { kind: 'kept', sha256: 'aa', toBeSeen: false });
  // what does not fit leaves no line
  await store.happen('p1', { kind: 'kept', sha256: 'bb', toBeSeen: false });
  await store.happen('p1', { kind: 'refused', why: 'no such site' });
  const journal = await store.readJournal();
  expect(journal.map(({ said }) => said)).toEqual(['taken', 'kept', 'refused: no such site']);
  expect(store.brokenLine(journal)).toBeUndefined();
  expect((await store.readPicture('p1'))?.sha256).toBe('aa');
});

it('shows a line that was changed or taken out', async () => {
  const journal = await store.readJournal();
  const changed = journal.map((line) => (line.n === 2 ? { ...line, said: 'other' } : line));
  expect(store.brokenLine(changed)?.n).toBe(3);
  expect(store.brokenLine(journal.filter(({ n }) => n !== 2))?.n).toBe(3);
});

it('lets changes of two tabs at once follow one another', async () => {
  await store.addPicture(picture('p2'), 'taken');
  await Promise.all([
    store.happen('p2', { kind: 'kept', sha256: 'cc', toBeSeen: false }),
    store.happen('p2', { kind: 'kept', sha256: 'dd', toBeSeen: false }),
    store.happen('p2', { kind: 'begun', uploadUrl: '/u' }),
  ]);
  expect(await store.readPicture('p2')).toMatchObject({ sha256: 'cc', uploadUrl: '/u' });
  expect(store.brokenLine(await store.readJournal())).toBeUndefined();
});
