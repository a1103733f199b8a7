/** Findings as they lie on this device, in the database of the pictures; each change is durable before it is told. */
import { queueDatabase, tell } from '../queue/queue-store.js';
import { afterNoted, type NotedEvent, type NotedFinding } from './noted.js';

const durable = { durability: 'strict' } as const;

/** Newest first. */
export async function readNotes(): Promise<NotedFinding[]> {
  const notes = await (await queueDatabase()).getAll('notes');
  return notes.sort((a, b) => Date.parse(b.notedAt) - Date.parse(a.notedAt));
}

/** Writes one down; one that is known already stays as it is. @returns whether it was new */
export async function addNote(note: NotedFinding): Promise<boolean> {
  const tx = (await queueDatabase()).transaction('notes', 'readwrite', durable);
  const isNew = (await tx.store.get(note.id)) === undefined;
  if (isNew) await tx.store.add(note);
  await tx.done;
  if (isNew) tell();
  return isNew;
}

/** Lets an event happen to a finding as it lies here now, whatever another tab did meanwhile. */
export async function noted(id: string, event: NotedEvent): Promise<void> {
  const tx = (await queueDatabase()).transaction('notes', 'readwrite', durable);
  const before = await tx.store.get(id);
  const after = before && afterNoted(before, event);
  if (after !== undefined && after !== before) await tx.store.put(after);
  await tx.done;
  if (after !== before) tell();
}
