/**
 * Text signed by one or more keys.
 *
 * Form: the text (ends in LF), one empty line, then a line per signature:
 * `— name base64(key id ‖ signature)`. The text may have empty lines; the last one separates.
 * Source: C2SP signed-note v1; cosignatures of witnesses: C2SP tlog-cosignature v1.
 */

import { base64Of, bytesOfBase64, hexOf } from './bytes.js';
import { type VerifySignature, verifyEd25519 } from './ed25519.js';
import {
  COSIGNATURE_TYPE,
  ED25519_TYPE,
  isKeyName,
  keyIdOf,
  type VerifierKey,
} from './verifier-key.js';

/** At least 16 must be accepted (C2SP signed-note); more than this is no note of ours. */
const SIGNATURES_MAX = 64;
const NOTE_CHARS_MAX = 1_000_000;

export interface NoteSignature {
  name: string;
  /** 8 lower-case hexadecimal digits */
  keyId: string;
  /** what follows the key id: 64 bytes for Ed25519, 72 for a cosignature */
  signature: Uint8Array;
}

export interface Note {
  /** what is signed; ends in LF */
  text: string;
  signatures: readonly NoteSignature[];
}

/** Who signs: the secret stays behind `sign`. */
export interface NoteSigner {
  name: string;
  publicKey: Uint8Array;
  sign(message: Uint8Array): Uint8Array | Promise<Uint8Array>;
}

export type NoteFault = 'malformed' | 'unsignable';

export class NoteError extends Error {
  override readonly name = 'NoteError';

  constructor(
    readonly fault: NoteFault,
    message: string,
  ) {
    super(message);
  }
}

export interface OpenedNote {
  text: string;
  /** known keys whose signature holds; `at` is the witness's time in seconds for a cosignature */
  verified: readonly { key: VerifierKey; at?: number }[];
  /** known keys whose signature fails: the note must be rejected */
  failed: readonly VerifierKey[];
  /** names in signatures by keys not known; they say nothing */
  unknown: readonly string[];
}

/** A note over `text`, signed once. @throws NoteError when the text cannot stand in a note */
export async function signNote(text: string, signer: NoteSigner): Promise<string> {
  if (!isNoteText(text)) {
    throw new NoteError(
      'unsignable',
      'a note text ends in a newline and has no other control characters',
    );
  }
  if (!isKeyName(signer.name)) {
    throw new NoteError(
      'unsignable',
      `${JSON.stringify(signer.name)} cannot name a key: no spaces, no +`,
    );
  }
  const signature = await signer.sign(new TextEncoder().encode(text));
  return `${text}\n${signatureLine(signer.name, keyIdOf(signer.name, signer.publicKey), signature)}`;
}

/** The same note with a witness's cosignature added. @param atSeconds POSIX time of the witness */
export async function cosignNote(
  note: string,
  witness: NoteSigner,
  atSeconds: number,
): Promise<string> {
  const { text } = parseNote(note);
  const ed25519 = await witness.sign(cosignedMessage(text, atSeconds));
  const body = new Uint8Array(8 + ed25519.length);
  new DataView(body.buffer).setBigUint64(0, BigInt(atSeconds));
  body.set(ed25519, 8);
  return (
    note +
    signatureLine(witness.name, keyIdOf(witness.name, witness.publicKey, COSIGNATURE_TYPE), body)
  );
}

/** Splits a note without checking any signature. @throws NoteError `malformed` */
export function parseNote(note: string): Note {
  if (note.length > NOTE_CHARS_MAX)
    throw new NoteError('malformed', 'longer than any note of a log');
  const split = note.lastIndexOf('\n\n');
  if (split < 0) throw new NoteError('malformed', 'no empty line between text and signatures');
  const text = note.slice(0, split + 1);
  const tail = note.slice(split + 2);
  if (!isNoteText(text))
    throw new NoteError('malformed', 'control characters or broken Unicode in the text');
  if (tail === '' || !tail.endsWith('\n')) {
    throw new NoteError('malformed', 'no signature line, or the last one is cut off');
  }
  const lines = tail.slice(0, -1).split('\n');
  if (lines.length > SIGNATURES_MAX)
    throw new NoteError('malformed', `more than ${SIGNATURES_MAX} signatures`);
  return { text, signatures: lines.map(parseSignatureLine) };
}

/**
 * Checks every signature by a known key.
 * The caller decides: reject when `failed` has anything or `verified` has not what it needs.
 * @throws NoteError `malformed`
 */
export function openNote(
  note: string,
  knownKeys: readonly VerifierKey[],
  verify: VerifySignature = verifyEd25519,
): OpenedNote {
  const { text, signatures } = parseNote(note);
  const message = new TextEncoder().encode(text);
  const verified: { key: VerifierKey; at?: number }[] = [];
  const failed: VerifierKey[] = [];
  const unknown: string[] = [];
  for (const { name, keyId, signature } of signatures) {
    // Name and id together are the key's identity; either alone may belong to somebody else.
    const key = knownKeys.find((known) => known.name === name && known.keyId === keyId);
    if (key === undefined) {
      unknown.push(name);
    } else if (key.type === ED25519_TYPE) {
      if (verify(signature, message, key.publicKey)) verified.push({ key });
      else failed.push(key);
    } else {
      const at = cosignedAt(text, signature, key, verify);
      if (at === undefined) failed.push(key);
      else verified.push({ key, at });
    }
  }
  return { text, verified, failed, unknown };
}

function cosignedAt(
  text: string,
  body: Uint8Array,
  key: VerifierKey,
  verify: VerifySignature,
): number | undefined {
  if (body.length !== 72) return undefined;
  const at = Number(new DataView(body.buffer, body.byteOffset, 8).getBigUint64(0));
  if (!Number.isSafeInteger(at)) return undefined;
  return verify(body.subarray(8), cosignedMessage(text, at), key.publicKey) ? at : undefined;
}

/** C2SP tlog-cosignature, "Ed25519 signed message". */
function cosignedMessage(text: string, atSeconds: number): Uint8Array {
  return new TextEncoder().encode(`cosignature/v1\ntime ${atSeconds}\n${text}`);
}

/** The signature as it stands in a note, with its line feed. */
export function signatureLineOf({ name, keyId, signature }: NoteSignature): string {
  return signatureLine(name, keyId, signature);
}

function signatureLine(name: string, keyId: string, signature: Uint8Array): string {
  const body = new Uint8Array(4 + signature.length);
  for (let i = 0; i < 4; i++) body[i] = parseInt(keyId.slice(2 * i, 2 * i + 2), 16);
  body.set(signature, 4);
  return `\u2014 ${name} ${base64Of(body)}\n`;
}

function parseSignatureLine(line: string): NoteSignature {
  const parts = line.split(' ');
  const [dash, name, base64] = parts;
  const body = bytesOfBase64(base64 ?? '');
  if (
    parts.length !== 3 ||
    dash !== '\u2014' ||
    !isKeyName(name!) ||
    body === undefined ||
    body.length < 5
  ) {
    throw new NoteError('malformed', `no signature line: ${JSON.stringify(line.slice(0, 80))}`);
  }
  return { name: name!, keyId: hexOf(body.subarray(0, 4)), signature: body.slice(4) };
}

function isNoteText(text: string): boolean {
  // eslint-disable-next-line no-control-regex -- the format forbids exactly these
  return text.endsWith('\n') && !/[\u0000-\u0009\u000b-\u001f]|[\ud800-\udfff]/u.test(text);
}
