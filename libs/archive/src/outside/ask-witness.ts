/**
 * Asking a witness to cosign the newest checkpoint of a log of ours.
 *
 * A witness that remembers more entries than the log has, or another tree, is no failure to try
 * again: somebody set this archive back or rewrote it. That is kept as an alarm.
 */
import {
  ADD_CHECKPOINT,
  formatCosignRequest,
  formatVerifierKey,
  takeCosignatures,
  witnessKeyForms,
} from '#libs/ledger';
import type { Tx } from '../tx.js';
import { askState, keepAskState } from './ask-state.js';
import type { WitnessPlace } from './outside-config.js';
import { growthProof, type OwnHead } from './own-head.js';
import { reasonOf } from './reason-of.js';

export type WitnessAnswer =
  | { kind: 'cosigned'; size: number }
  | { kind: 'has-it' | 'not-yet' }
  | { kind: 'trouble'; says: string }
  | Alarm;

interface Alarm {
  kind: 'alarm';
  alarm: AlarmKind;
  says: string;
}

/** `longer`: it remembers more entries; `other`: it remembers other ones. */
export type AlarmKind = 'longer' | 'other';

export interface AskPorts {
  readonly tx: Tx;
  readonly fetch: typeof fetch;
  readonly now: () => Date;
  readonly everyMs: number;
  readonly signal?: AbortSignal;
}

const ANSWER_MS = 20_000;
const ANSWER_CHARS_MAX = 100_000;
/** The size we remember, the one it names, and one more for a second server that asked meanwhile. */
const TURNS_MAX = 3;

/** @param isForced ask also before its time */
export async function askWitness(
  head: OwnHead,
  place: WitnessPlace,
  ports: AskPorts,
  { isForced = false } = {},
): Promise<WitnessAnswer> {
  const { tx } = ports;
  const whom = formatVerifierKey(place.key);
  const state = await askState(tx, head.origin, whom);
  const now = ports.now();
  const kept = await tx.first<{ line: string }>(
    `SELECT line FROM cosignature WHERE origin = $1 AND size = $2 AND key_name = $3`,
    [head.origin, head.size, place.key.name],
  );
  if (kept !== undefined) {
    const isOver = takeCosignatures(head.note, kept.line, witnessKeyForms(place.key)).length > 0;
    if (isOver) return { kind: 'has-it' };
    // The witness signed a head of this size, and this is not it.
    const answer = other(head, place, head.size);
    await keepAlarm(ports, head, place, answer, head.size);
    return answer;
  }
  if (!isForced && state.nextAt > now) return { kind: 'not-yet' };
  const { answer, knownSize } = await turns(head, place, ports, state.knownSize);
  const says = 'says' in answer ? answer.says : undefined;
  await keepAskState(
    tx,
    { origin: head.origin, whom, knownSize },
    { now, everyMs: ports.everyMs, trouble: says },
  );
  if (answer.kind === 'alarm') await keepAlarm(ports, head, place, answer, knownSize);
  return answer;
}

async function keepAlarm(
  { tx, now }: AskPorts,
  head: OwnHead,
  { key }: WitnessPlace,
  { alarm, says }: Alarm,
  theirSize: number,
): Promise<void> {
  await tx.run(
    `INSERT INTO witness_alarm (origin, witness, kind, their_size, our_size, says, noticed_at)
     VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT DO NOTHING`,
    [head.origin, key.name, alarm, theirSize, head.size, says, now()],
  );
}

async function turns(
  head: OwnHead,
  place: WitnessPlace,
  ports: AskPorts,
  knownSize: number,
): Promise<{ answer: WitnessAnswer; knownSize: number }> {
  // a state that remembers more than the log has can only be a log that was set back
  let from = Math.min(knownSize, head.size);
  for (let turn = 0; turn < TURNS_MAX; turn++) {
    const told = await oneTurn(head, place, ports, from);
    if (told.kind !== 'knows') {
      return { answer: told, knownSize: told.kind === 'cosigned' ? head.size : from };
    }
    if (told.size > head.size) {
      const size = await sizeNow(ports.tx, head);
      if (told.size <= size) return { answer: { kind: 'has-it' }, knownSize: told.size };
      return {
        answer: {
          kind: 'alarm',
          alarm: 'longer',
          says: `${place.key.name} remembers ${told.size} entries of ${head.origin}; this archive has ${size}. Entries are missing here.`,
        },
        knownSize: told.size,
      };
    }
    // asked with its own size and still in conflict: another tree of that size
    if (told.size === from) return { answer: other(head, place, from), knownSize: from };
    from = told.size;
  }
  return {
    answer: { kind: 'trouble', says: `${place.key.name} named another size at every turn` },
    knownSize: from,
  };
}

type Turn = WitnessAnswer | { kind: 'knows'; size: number };

async function oneTurn(
  head: OwnHead,
  place: WitnessPlace,
  { tx, fetch, signal, now }: AskPorts,
  oldSize: number,
): Promise<Turn> {
  const { name } = place.key;
  const trouble = (says: string): Turn => ({ kind: 'trouble', says });
  let status: number;
  let text: string;
  try {
    const response = await fetch(`${place.url}/${ADD_CHECKPOINT}`, {
      method: 'POST',
      headers: { 'Content-Type': 'text/plain; charset=utf-8' },
      body: formatCosignRequest({
        oldSize,
        proof: await growthProof(tx, head, oldSize),
        note: head.note,
      }),
      redirect: 'error',
      signal: AbortSignal.any([AbortSignal.timeout(ANSWER_MS), ...(signal ? [signal] : [])]),
    });
    status = response.status;
    text = (await response.text()).slice(0, ANSWER_CHARS_MAX);
  } catch (error) {
    signal?.throwIfAborted();
    return trouble(`${name} did not answer: ${reasonOf(error)}`);
  }
  if (status === 200) return taken(head, place, text, { tx, now });
  if (status === 409) {
    const size = /^(0|[1-9]\d*)\n?$/.exec(text)?.[1];
    return size === undefined || !Number.isSafeInteger(Number(size))
      ? trouble(`${name} answered 409 without the size that it knows`)
      : { kind: 'knows', size: Number(size) };
  }
  if (status === 422 && oldSize > 0) return other(head, place, oldSize);
  if (status === 404) {
    return trouble(
      `${name} does not witness ${head.origin}. Give its keeper the origin and this archive's verifier key.`,
    );
  }
  if (status === 403) {
    return trouble(
      `${name} does not trust the key of ${head.origin}. Give its keeper this archive's verifier key.`,
    );
  }
  return trouble(`${name} answered ${status}`);
}

async function taken(
  head: OwnHead,
  { key }: WitnessPlace,
  text: string,
  { tx, now }: Pick<AskPorts, 'tx' | 'now'>,
): Promise<Turn> {
  let found: ReturnType<typeof takeCosignatures>;
  try {
    found = takeCosignatures(head.note, text, witnessKeyForms(key));
  } catch (error) {
    return { kind: 'trouble', says: `${key.name} answered no signature: ${reasonOf(error)}` };
  }
  if (found.length === 0) {
    return {
      kind: 'trouble',
      says: `${key.name} answered without a signature by the key that is configured for it`,
    };
  }
  const receivedAt = now();
  for (const { key: by, line, atSeconds } of found) {
    await tx.run(
      `INSERT INTO cosignature (origin, size, key_name, key_id, line, stated_at, received_at)
       VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT DO NOTHING`,
      [
        head.origin,
        head.size,
        by.name,
        by.keyId,
        line,
        atSeconds === undefined ? receivedAt : new Date(atSeconds * 1000),
        receivedAt,
      ],
    );
  }
  return { kind: 'cosigned', size: head.size };
}

function other(head: OwnHead, { key }: WitnessPlace, size: number): Alarm {
  return {
    kind: 'alarm',
    alarm: 'other',
    says: `${key.name} remembers ${size} other entries of ${head.origin} than those that are here. The history here was rewritten.`,
  };
}

async function sizeNow(tx: Tx, { logId }: OwnHead): Promise<number> {
  return (await tx.first<{ size: number }>('SELECT size FROM log WHERE log_id = $1', [logId]))!
    .size;
}
