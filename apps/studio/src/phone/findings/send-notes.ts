/** Sends the findings that wait, one after the other, as long as this page lives; of all tabs one sends. */
import { entryAtPlace } from '#libs/ledger';
import { type ReadFinding, readFinding, sendNoted } from '../../platform/api/noted-findings.js';
import { Refused } from '../../platform/api/request.js';
import { say } from '../../platform/language/say.js';
import { NotProven, proveHeld } from '../queue/prove-receipt.js';
import { PASSING } from '../queue/send-picture.js';
import { withLock } from '../queue/with-lock.js';
import { listen } from '../queue/woken.js';
import { noted, readNotes } from './note-store.js';
import { type NotedEvent, type NotedFinding, nextNoted, saysTheSame } from './noted.js';

interface SentTo {
  readonly archiveId: string;
  readonly isDemo: boolean;
}

/** Looks again after this long even when nothing tells it to. */
const LOOK_MS = 30_000;

/** @param signal ends the sending; what is on its way is taken up again next time */
export function startNotes(archive: SentTo, signal: AbortSignal): void {
  const hurry = () => {
    hurryAll().catch(() => undefined); // what cannot be read is told by the room
  };
  hurry();
  window.addEventListener('online', hurry, { signal });
  withLock('mullion-phone-notes', signal, () => sendAll(archive, signal)).catch(
    (error: unknown) => {
      if (!signal.aborted) console.error('the sender of findings ended:', error);
    },
  );
}

async function sendAll(archive: SentTo, signal: AbortSignal): Promise<void> {
  const isAborted = () => signal.aborted;
  while (!isAborted()) {
    const woken = listen(signal);
    const step = nextNoted(await readNotes(), archive.archiveId, Date.now());
    if (step.act === 'rest') await woken.orAfter(Math.min(LOOK_MS, step.untilMs - Date.now()));
    else {
      const event =
        step.act === 'send'
          ? await sent(step.note, signal)
          : await proven(archive, step.note, signal);
      if (!isAborted()) await noted(step.note.id, event);
    }
    woken.forget();
  }
}

/** The line is back: everything is due at once. */
async function hurryAll(): Promise<void> {
  for (const { id } of await readNotes()) await noted(id, { kind: 'hurry' });
}

async function sent(note: NotedFinding, signal: AbortSignal): Promise<NotedEvent> {
  const { id, panelId, body, key, corrects } = note;
  await noted(id, { kind: 'begun' });
  try {
    // A finding of its own goes by the id it has here: another device that took it up sends the same one.
    const said = corrects === null ? { ...body, findingId: id } : body;
    const { findingId, entry } = await sendNoted(panelId, said, key, corrects, signal);
    return { kind: 'received', receipt: { findingId, ...entry } };
  } catch (error) {
    const known = knownEntry(error);
    if (known !== undefined) return { kind: 'received', receipt: { findingId: id, ...known } };
    const { status, code } = error instanceof Refused ? error : { status: 0, code: undefined };
    const isOther = status === 412 || code === 'finding-closed';
    try {
      if (corrects !== null && isOther)
        return againstTheirs(note, await readFinding(corrects.findingId, signal));
    } catch (unread) {
      return failed(unread);
    }
    const isPassing = status < 400 || status >= 500 || status === 401 || PASSING.has(status);
    return isPassing ? failed(error) : { kind: 'refused', why: (error as Refused).message };
  }
}

async function proven(
  archive: SentTo,
  { receipt, body }: NotedFinding,
  signal: AbortSignal,
): Promise<NotedEvent> {
  try {
    await proveHeld(
      archive,
      receipt!,
      ({ type, payload }) => {
        const said = payload as { findingId?: unknown; term?: unknown };
        // Somebody may have corrected or withdrawn it since another device sent it.
        const isSaid = type !== 'finding.record' || said.term === body.term;
        return type.startsWith('finding.') && said.findingId === receipt!.findingId && isSaid;
      },
      say('this finding'),
      signal,
    );
    return { kind: 'proven' };
  } catch (error) {
    return failed(error);
  }
}

/** The entry under which another device has recorded it. */
function knownEntry(error: unknown): { logId: string; seq: number } | undefined {
  if (!(error instanceof Refused) || error.code !== 'finding-known') return undefined;
  const { logId, seq } = error.problem;
  return typeof logId === 'string' && typeof seq === 'number' ? { logId, seq } : undefined;
}

/** A correction that stands there word for word was sent by another device that took it up. */
function againstTheirs({ body }: NotedFinding, theirs: ReadFinding): NotedEvent {
  if (!saysTheSame(body, theirs)) return { kind: 'conflict', theirs };
  const { findingId, siteId, entrySeq } = theirs;
  return { kind: 'received', receipt: { findingId, ...entryAtPlace(siteId, entrySeq) } };
}

function failed(error: unknown): NotedEvent {
  const isSaid = error instanceof Refused || error instanceof NotProven;
  const why = isSaid ? error.message : say('The archive cannot be reached.');
  return { kind: 'failed', why, atMs: Date.now(), chance: Math.random() };
}
