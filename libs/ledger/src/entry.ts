/**
 * One entry of a log: the form that is signed and kept for ever.
 *
 * An entry is a JSON object, stored as its canonical bytes (RFC 8785), at most 16 kB: nets, long
 * texts and geometry above 4 kB are objects, named by digest. Unknown members are refused, so that
 * a later version must say so in `v`.
 */

import { canonicalBytes, type JsonValue, parseCanonical } from './canonical.js';

export const ENTRY_BYTES_MAX = 16_384;

export interface EntryObject {
  /** `sha256:` and 64 lower-case hexadecimal digits */
  digest: string;
  /** what the object is to the entry: original, net, outline, … */
  role: string;
}

/** A leaf of another log (or of this one, earlier): where and which bytes. */
export interface EntryRef {
  origin: string;
  index: number;
  /** 64 lower-case hexadecimal digits */
  leafHash: string;
}

export interface Entry<P extends JsonValue = JsonValue> {
  v: 1;
  /** origin line of the log */
  log: string;
  /** place in the log, from 0 */
  seq: number;
  /** the command that wrote it, e.g. `finding.record` */
  type: string;
  /** mark of the place it is about, or null for none (people, materials, rates) */
  subject: string | null;
  /** pseudonymous id; names are kept elsewhere */
  actorId: string;
  /** when it happened: EDTF as claimed, or null when nobody said */
  happened: string | null;
  /** what is known of that time: offset and uncertainty of the device's clock, or why it is doubted */
  happenedNote?: string;
  /** when the server wrote it: RFC 3339, UTC, milliseconds */
  recordedAt: string;
  payload: P;
  objects: readonly EntryObject[];
  /** the entry that this one corrects */
  supersedes: { seq: number } | null;
  refs: readonly EntryRef[];
  /**
   * Random text. In a dossier that withholds this entry its leaf hash still stands; the salt keeps
   * a reader from finding the content by guessing.
   */
  salt?: string;
}

export type EntryFault = 'too-large' | 'shape' | 'not-canonical';

export class EntryError extends Error {
  override readonly name = 'EntryError';

  constructor(
    readonly fault: EntryFault,
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}

const DIGEST = /^sha256:[0-9a-f]{64}$/;
const LEAF_HASH = /^[0-9a-f]{64}$/;
const RECORDED_AT =
  /^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/;
const TYPE = /^[a-z][a-z0-9-]*(\.[a-z][a-z0-9-]*)+$/;
const REQUIRED = [
  'v',
  'log',
  'seq',
  'type',
  'subject',
  'actorId',
  'happened',
  'recordedAt',
  'payload',
  'objects',
  'supersedes',
  'refs',
] as const;
const OPTIONAL = ['happenedNote', 'salt'];

/** Canonical bytes of an entry. @throws EntryError `shape` or `too-large`; CanonicalError for values JSON cannot carry */
export function entryBytes(entry: Entry): Uint8Array {
  const problem = entryProblem(entry);
  if (problem !== undefined) throw new EntryError('shape', problem);
  const bytes = canonicalBytes(entry);
  if (bytes.length > ENTRY_BYTES_MAX) {
    throw new EntryError(
      'too-large',
      `an entry holds at most ${ENTRY_BYTES_MAX} bytes, this one has ${bytes.length}: store the large part as an object and name its digest`,
    );
  }
  return bytes;
}

/** Reads an entry back. @throws EntryError naming what is wrong; unknown members count as wrong */
export function parseEntry(bytes: Uint8Array): Entry {
  if (bytes.length > ENTRY_BYTES_MAX) {
    throw new EntryError(
      'too-large',
      `${bytes.length} bytes; an entry holds at most ${ENTRY_BYTES_MAX}`,
    );
  }
  let value: JsonValue;
  try {
    value = parseCanonical(bytes);
  } catch (cause) {
    throw new EntryError('not-canonical', cause instanceof Error ? cause.message : String(cause), {
      cause,
    });
  }
  const problem = entryProblem(value);
  if (problem !== undefined) throw new EntryError('shape', problem);
  return value as unknown as Entry;
}

/** @returns a sentence naming the first member that is not as the format says, or undefined */
function entryProblem(value: unknown): string | undefined {
  if (!isRecord(value)) return 'an entry is a JSON object';
  if (value['v'] !== 1) return `v is ${show(value['v'])}; this program reads version 1`;
  for (const key of REQUIRED) if (!Object.hasOwn(value, key)) return `${key} is missing`;
  for (const key of Object.keys(value)) {
    if (!(REQUIRED as readonly string[]).includes(key) && !OPTIONAL.includes(key)) {
      return `${key} is no member of an entry`;
    }
  }
  const { log, seq, type, subject, actorId, happened, happenedNote, recordedAt, salt } = value;
  if (!isText(log, 255)) return 'log is not an origin line';
  if (!isIndex(seq)) return 'seq is not a whole number from 0';
  if (!isText(type, 64) || !TYPE.test(type))
    return `type is ${show(type)}; expected words such as finding.record`;
  if (subject !== null && !isText(subject, 128)) return 'subject is neither a mark nor null';
  if (!isText(actorId, 64)) return 'actorId is empty';
  if (happened !== null && !isText(happened, 128)) return 'happened is neither EDTF text nor null';
  if (happenedNote !== undefined && !isText(happenedNote, 1024))
    return 'happenedNote is not a text';
  if (salt !== undefined && !isText(salt, 64)) return 'salt is not a text';
  if (typeof recordedAt !== 'string' || !RECORDED_AT.test(recordedAt)) {
    return `recordedAt is ${show(recordedAt)}; expected UTC with milliseconds, e.g. 2026-11-25T08:30:00.000Z`;
  }
  return (
    objectsProblem(value['objects']) ??
    refsProblem(value['refs']) ??
    supersedesProblem(value['supersedes'], seq)
  );
}

function objectsProblem(objects: unknown): string | undefined {
  if (!Array.isArray(objects)) return 'objects is not a list';
  for (const [at, object] of (objects as unknown[]).entries()) {
    if (!isRecord(object) || !hasOnly(object, ['digest', 'role'])) {
      return `objects[${at}] is not { digest, role }`;
    }
    if (typeof object['digest'] !== 'string' || !DIGEST.test(object['digest'])) {
      return `objects[${at}].digest is ${show(object['digest'])}; expected sha256: and 64 hexadecimal digits`;
    }
    if (!isText(object['role'], 64)) return `objects[${at}].role is empty`;
  }
  return undefined;
}

function refsProblem(refs: unknown): string | undefined {
  if (!Array.isArray(refs)) return 'refs is not a list';
  for (const [at, ref] of (refs as unknown[]).entries()) {
    if (!isRecord(ref) || !hasOnly(ref, ['origin', 'index', 'leafHash'])) {
      return `refs[${at}] is not { origin, index, leafHash }`;
    }
    if (!isText(ref['origin'], 255)) return `refs[${at}].origin is not an origin line`;
    if (!isIndex(ref['index'])) return `refs[${at}].index is not a whole number from 0`;
    if (typeof ref['leafHash'] !== 'string' || !LEAF_HASH.test(ref['leafHash'])) {
      return `refs[${at}].leafHash is not 64 hexadecimal digits`;
    }
  }
  return undefined;
}

function supersedesProblem(supersedes: unknown, seq: number): string | undefined {
  if (supersedes === null) return undefined;
  if (!isRecord(supersedes) || !hasOnly(supersedes, ['seq']) || !isIndex(supersedes['seq'])) {
    return 'supersedes is neither { seq } nor null';
  }
  return supersedes['seq'] < seq
    ? undefined
    : `entry ${seq} cannot supersede entry ${supersedes['seq']}, which is not before it`;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function hasOnly(value: Record<string, unknown>, keys: readonly string[]): boolean {
  const own = Object.keys(value);
  return own.length === keys.length && keys.every((key) => own.includes(key));
}

function isText(value: unknown, longest: number): value is string {
  return typeof value === 'string' && value.length > 0 && value.length <= longest;
}

function isIndex(value: unknown): value is number {
  return Number.isSafeInteger(value) && (value as number) >= 0;
}

function show(value: unknown): string {
  const text = value === undefined ? 'missing' : JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
