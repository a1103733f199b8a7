/** Asking a time authority (RFC 3161) for a token over the newest checkpoint of a log of ours. */
import { randomBytes } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import {
  checkTimeToken,
  readAuthorities,
  TIME_QUERY_TYPE,
  timeStampRequest,
  tokenOfAnswer,
} from '#libs/timestamp';
import { askState, keepAskState } from './ask-state.js';
import type { AskPorts } from './ask-witness.js';
import type { OwnHead } from './own-head.js';
import { reasonOf } from './reason-of.js';

export type TimeAnswer =
  | { kind: 'stamped'; size: number; at: Date; authority: string }
  | { kind: 'has-it' | 'not-yet' }
  | { kind: 'trouble'; says: string };

const ANSWER_MS = 30_000;
const ANSWER_BYTES_MAX = 200_000;

/** What a token states is of the note as the archive signed it, without cosignatures. */
export const stampedBytes = (note: string): Uint8Array => new TextEncoder().encode(note);

/** @param isForced ask also before its time */
export async function askTime(
  head: OwnHead,
  place: { url: string; caFile: string | undefined },
  ports: AskPorts,
  { isForced = false } = {},
): Promise<TimeAnswer> {
  const { tx, now, everyMs } = ports;
  const asked = { origin: head.origin, whom: place.url, knownSize: head.size };
  const kept = await tx.first('SELECT 1 FROM time_token WHERE origin = $1 AND size = $2', [
    head.origin,
    head.size,
  ]);
  if (kept !== undefined) return { kind: 'has-it' };
  const at = now();
  if (!isForced && (await askState(tx, head.origin, place.url)).nextAt > at)
    return { kind: 'not-yet' };
  try {
    const { token, statedAt, authority } = await stamped(head, place, ports);
    await tx.run(
      `INSERT INTO time_token (origin, size, authority, token, stated_at, received_at)
       VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING`,
      [head.origin, head.size, authority, Buffer.from(token), statedAt, now()],
    );
    await keepAskState(tx, asked, { now: at, everyMs });
    return { kind: 'stamped', size: head.size, at: statedAt, authority };
  } catch (error) {
    ports.signal?.throwIfAborted();
    const says = `${place.url}: ${reasonOf(error)}`;
    // a day's wait is for tokens that came; an authority that fails is asked again sooner
    await keepAskState(tx, asked, {
      now: at,
      everyMs: Math.min(everyMs, 600_000),
      trouble: says,
    });
    return { kind: 'trouble', says };
  }
}

async function stamped(
  head: OwnHead,
  { url, caFile }: { url: string; caFile: string | undefined },
  { fetch, signal }: AskPorts,
): Promise<{ token: Uint8Array; statedAt: Date; authority: string }> {
  const data = stampedBytes(head.note);
  const nonce = new Uint8Array(randomBytes(8));
  const response = await fetch(url, {
    method: 'POST',
    headers: { 'Content-Type': TIME_QUERY_TYPE },
    body: new Uint8Array(timeStampRequest(data, nonce)),
    signal: AbortSignal.any([AbortSignal.timeout(ANSWER_MS), ...(signal ? [signal] : [])]),
  });
  if (!response.ok) throw new Error(`it answered ${response.status}`);
  const answer = new Uint8Array(await response.arrayBuffer());
  if (answer.length > ANSWER_BYTES_MAX) throw new Error('its answer is longer than any token');
  const token = tokenOfAnswer(answer, nonce);
  const saying = await checkTimeToken(token, data, await authorities(caFile));
  if (!saying.ok) throw new Error(saying.reason);
  return { token, statedAt: saying.at, authority: saying.authority };
}

async function authorities(caFile: string | undefined) {
  if (caFile === undefined) return undefined;
  try {
    return readAuthorities(await readFile(caFile, 'utf8'));
  } catch (cause) {
    throw new Error(`MULLION_TIME_AUTHORITY_CA, ${caFile}: ${reasonOf(cause)}`, { cause });
  }
}
