/**
 * A finding that was written down on this device, on its way into the archive:
 *
 *     waiting → received → proven      the ordinary way
 *     waiting → conflict → waiting     what it corrects has changed: a person looks at both and says
 *     waiting → refused → waiting      the archive said no, a person tries again
 *     … → discarded                    a person's word, never the program's
 */
import type { Finding, FindingBody } from '../../platform/api/findings.js';
import { retryDelayMs } from '../queue/send-plan.js';

export type NotedState = 'waiting' | 'received' | 'proven' | 'conflict' | 'refused' | 'discarded';

/** As the API takes it; a piece, lead or joint that a person named is said, not found from the geometry. */
export type NotedBody = FindingBody & {
  readonly inPanel?: string;
  readonly entered?: Readonly<Record<string, number>>;
};

export interface NotedReceipt {
  readonly findingId: string;
  readonly logId: string;
  readonly seq: number;
}

export interface NotedFinding {
  /** UUID of this record */
  readonly id: string;
  /** Idempotency-Key of its request: another one when another thing is asked */
  readonly key: string;
  readonly archiveId: string;
  readonly panelId: string;
  /** full mark of the panel, or of the piece that it lies in */
  readonly mark: string;
  /** this device's clock, RFC 3339 */
  readonly notedAt: string;
  readonly body: NotedBody;
  /** the measure in words, as this device took it from the drawing */
  readonly measureText: string;
  /** the finding that it corrects, as it was known here; null: a finding of its own */
  readonly corrects: Finding | null;
  /** the same finding as the archive has it, when that is another than the one corrected */
  readonly theirs: Finding | null;
  readonly state: NotedState;
  /** what a person should know of the state, as a sentence */
  readonly why: string | null;
  /** it was sent at least once: the archive may hold it though it has not said so */
  readonly isBegun: boolean;
  readonly tries: number;
  /** not before this moment, milliseconds since 1970 */
  readonly nextTryMs: number;
  readonly receipt: NotedReceipt | null;
}

export type NotedEvent =
  | { readonly kind: 'begun' }
  | {
      readonly kind: 'failed';
      readonly why: string;
      readonly atMs: number;
      /** 0 to 1, spreads the tries of many phones */
      readonly chance: number;
    }
  | { readonly kind: 'refused'; readonly why: string }
  | { readonly kind: 'conflict'; readonly theirs: Finding }
  | { readonly kind: 'received'; readonly receipt: NotedReceipt }
  | { readonly kind: 'proven' }
  /** the line is back: no more waiting */
  | { readonly kind: 'hurry' }
  /** a person tries a refused one again */
  | { readonly kind: 'again'; readonly key: string }
  /** a person has seen both and puts this one on top of theirs */
  | { readonly kind: 'on-top'; readonly key: string }
  /** a person has seen both and keeps both: this one becomes a finding of its own */
  | { readonly kind: 'as-own'; readonly key: string }
  | { readonly kind: 'discarded' };

export const freshNote = (
  given: Pick<
    NotedFinding,
    | 'id'
    | 'key'
    | 'archiveId'
    | 'panelId'
    | 'mark'
    | 'notedAt'
    | 'body'
    | 'measureText'
    | 'corrects'
  >,
): NotedFinding => ({
  ...given,
  theirs: null,
  state: 'waiting',
  why: null,
  isBegun: false,
  tries: 0,
  nextTryMs: 0,
  receipt: null,
});

const anew = { why: null, isBegun: false, tries: 0, nextTryMs: 0, theirs: null } as const;

/** The finding after the event; the same object when the event does not fit its state. */
export function afterNoted(note: NotedFinding, event: NotedEvent): NotedFinding {
  const { state, theirs } = note;
  switch (event.kind) {
    case 'begun':
      return state === 'waiting' && !note.isBegun ? { ...note, isBegun: true } : note;
    case 'failed':
      if (state !== 'waiting' && state !== 'received') return note;
      return {
        ...note,
        why: event.why,
        tries: note.tries + 1,
        nextTryMs: event.atMs + retryDelayMs(note.tries, event.chance),
      };
    case 'refused':
      return state === 'waiting' ? { ...note, state: 'refused', why: event.why } : note;
    case 'conflict':
      return state === 'waiting' && note.corrects !== null
        ? { ...note, ...anew, state: 'conflict', theirs: event.theirs }
        : note;
    case 'received':
      return state === 'waiting'
        ? { ...note, ...anew, state: 'received', receipt: event.receipt }
        : note;
    case 'proven':
      return state === 'received' ? { ...note, ...anew, state: 'proven' } : note;
    case 'hurry':
      return note.nextTryMs === 0 ? note : { ...note, nextTryMs: 0 };
    case 'again':
      return state === 'refused' ? { ...note, ...anew, state: 'waiting', key: event.key } : note;
    case 'on-top':
      return state === 'conflict' && theirs?.state === 'recorded'
        ? { ...note, ...anew, state: 'waiting', key: event.key, corrects: theirs }
        : note;
    case 'as-own':
      return state === 'conflict'
        ? { ...note, ...anew, state: 'waiting', key: event.key, corrects: null }
        : note;
    case 'discarded':
      return mayGiveUp(note) ? { ...note, ...anew, state: 'discarded' } : note;
  }
}

/** What may have reached the archive is not given up here: it would be there all the same. */
export const mayGiveUp = ({ state, isBegun }: NotedFinding): boolean =>
  state === 'conflict' || state === 'refused' || (state === 'waiting' && !isBegun);

/** Only this device holds it for sure. */
export const isOnlyHere = ({ state }: NotedFinding): boolean =>
  state !== 'proven' && state !== 'discarded';

/** The archive keeps places in steps of a hundredth of a millimetre. */
const STEP_MM = 0.01;

/** Whether the archive's finding says what was written down, in every word that a person gave. */
export function saysTheSame(body: NotedBody, theirs: Finding): boolean {
  const { kind, xyMm } = theirs.geometry;
  const isThere = (at: number, [x, y]: readonly [number, number]) =>
    Math.abs(x - xyMm[at]![0]) <= STEP_MM && Math.abs(y - xyMm[at]![1]) <= STEP_MM;
  return (
    theirs.state === 'recorded' &&
    body.term === theirs.term &&
    body.face === theirs.face &&
    (body.inPanel ?? theirs.inPanel) === theirs.inPanel &&
    (body.happened ?? null) === theirs.happened &&
    (body.note ?? null) === theirs.note &&
    (body.evidence ?? []).join() === theirs.evidence.join() &&
    body.geometry.kind === kind &&
    body.geometry.xyMm.length === xyMm.length &&
    body.geometry.xyMm.every((point, at) => isThere(at, point))
  );
}

export type NotedStep =
  | { readonly act: 'send' | 'prove'; readonly note: NotedFinding }
  | { readonly act: 'rest'; readonly untilMs: number };

/** What is done next: receipts are proven first, then the finding that was written first is sent. */
export function nextNoted(
  notes: readonly NotedFinding[],
  archiveId: string,
  nowMs: number,
): NotedStep {
  const due = notes
    .filter((note) => note.archiveId === archiveId)
    .filter(({ state }) => state === 'waiting' || state === 'received');
  const ready = due
    .filter(({ nextTryMs }) => nextTryMs <= nowMs)
    .sort((a, b) => Date.parse(a.notedAt) - Date.parse(b.notedAt));
  const toProve = ready.find(({ state }) => state === 'received');
  if (toProve) return { act: 'prove', note: toProve };
  return ready[0] === undefined
    ? { act: 'rest', untilMs: Math.min(Infinity, ...due.map(({ nextTryMs }) => nextTryMs)) }
    : { act: 'send', note: ready[0] };
}
