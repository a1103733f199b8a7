/**
 * The keys that a log was signed with, one after the other, and who vouches for each change.
 *
 * Read from the log's own `key.announce` and `key.change` entries. An announcement that the key in
 * force did not sign counts for nothing: else a rewritten log could announce its own successor. It
 * lapses when the key changes. A change whose signature does not hold is a fault of the log.
 */

import { bytesEqual, bytesOfBase64 } from './bytes.js';
import type { JsonValue } from './canonical.js';
import { type VerifySignature, verifyEd25519 } from './ed25519.js';
import { fingerprintOf } from './fingerprint.js';
import { type Sha256, sha256 } from './hash.js';
import {
  announcementText,
  type CarriedEntry,
  changeText,
  KEY_ANNOUNCE,
  KEY_CHANGE,
  type KeyAnnouncement,
  keyOfLog,
  readAnnouncement,
  readChange,
  type SignedBy,
} from './key-statement.js';
import { parseOrigin } from './origin.js';
import { entryNameIn } from './place.js';

/** One change of the key, its signature checked. */
export interface KeyChanged {
  /** entry at which it was changed */
  readonly seq: number;
  /** log of that entry, where it is not the one that is read */
  readonly origin?: string;
  /** fingerprints; null when nothing says which key was there before */
  readonly from: string | null;
  readonly to: string;
  readonly signedBy: SignedBy;
  /** entry at which the successor was announced */
  readonly announcedAt?: number;
}

/** What the history says of a fingerprint that a reader brings. */
export type KeyTrust =
  /** it never was the key of this log */
  | { kind: 'unknown' }
  /** it was, and every change since is vouched for by the key before it or the successor that it announced */
  | { kind: 'vouched'; changes: readonly KeyChanged[] }
  /** it was, but then the key was changed and nobody known vouches for that */
  | { kind: 'broken'; change: KeyChanged };

interface HeldKey {
  readonly publicKey: Uint8Array;
  readonly fingerprint: string;
  /** how it came: undefined for the first that is known */
  readonly change?: KeyChanged;
}

interface Announced {
  readonly publicKey: Uint8Array;
  readonly sealing: Uint8Array;
  readonly seq: number;
}

export interface KeyHistoryOptions {
  readonly hash?: Sha256;
  readonly verifySignature?: VerifySignature;
}

export class KeyHistory {
  readonly #keys: HeldKey[] = [];
  readonly #notices: string[] = [];
  readonly #hash: Sha256;
  readonly #verify: VerifySignature;
  #announced: Announced | undefined;

  /** @param origin origin line of the log */
  constructor(
    private readonly origin: string,
    private readonly options: KeyHistoryOptions = {},
  ) {
    this.#hash = options.hash ?? sha256;
    this.#verify = options.verifySignature ?? verifyEd25519;
  }

  /** The key in force after the entries read so far; undefined while none said. */
  get current(): { readonly publicKey: Uint8Array; readonly fingerprint: string } | undefined {
    return this.#keys.at(-1);
  }

  /** The successor in force: Ed25519 and X25519 public keys, 32 bytes each, and the entry that announced it. */
  get announced(): Readonly<Announced> | undefined {
    return this.#announced;
  }

  /** Every key so far, in their order. */
  get publicKeys(): Uint8Array[] {
    return this.#keys.map(({ publicKey }) => publicKey);
  }

  get changes(): KeyChanged[] {
    return this.#keys.flatMap(({ change }) => change ?? []);
  }

  /** What a reader should know of announcements that count for nothing. */
  get notices(): readonly string[] {
    return this.#notices;
  }

  /** The public key that signs a checkpoint over `size` entries; undefined when the history does not say. */
  keyFor(size: number): Uint8Array | undefined {
    const held = this.#keys.findLast(
      ({ change }) => change === undefined || change.origin !== undefined || change.seq < size,
    );
    return held?.publicKey;
  }

  /**
   * The next entry of the log; others than those about the key are passed over.
   * @returns what is wrong with it, or undefined
   */
  add(entry: { seq: number; type: string; payload: JsonValue }): string | undefined {
    if (entry.type === KEY_ANNOUNCE) return this.#announce(entry.seq, entry.payload);
    if (entry.type === KEY_CHANGE) return this.#change(entry.seq, entry.payload);
    return undefined;
  }

  trust(fingerprint: string): KeyTrust {
    const at = this.#keys.findLastIndex((key) => key.fingerprint === fingerprint);
    if (at < 0) return { kind: 'unknown' };
    const since = this.#keys.slice(at + 1).map(({ change }) => change!);
    const gap = since.findLast(({ signedBy }) => signedBy === 'none');
    return gap === undefined
      ? { kind: 'vouched', changes: since }
      : { kind: 'broken', change: gap };
  }

  #announce(seq: number, payload: JsonValue): string | undefined {
    const said = readAnnouncement(payload);
    const key = keyOfLog(said?.key, this.origin);
    const successor = keyOfLog(said?.successor, this.origin);
    if (said === undefined || key === undefined || successor === undefined) {
      return `entry ${seq} is no announcement of a key`;
    }
    const place = { origin: this.origin, seq };
    if (!this.#holds(said.signature, announcementText(place, said), key)) {
      this.#ignore(seq, 'its signature does not hold');
      return undefined;
    }
    if (this.current === undefined) {
      const problem = this.#carry(said, key);
      if (problem !== undefined) {
        this.#ignore(seq, problem);
        return undefined;
      }
    }
    const { current } = this;
    if (current !== undefined && !bytesEqual(current.publicKey, key)) {
      this.#ignore(seq, 'it is not signed by the key in force');
      return undefined;
    }
    if (current === undefined) this.#keys.push(this.#held(key));
    this.#announced = { publicKey: successor, sealing: bytesOfBase64(said.sealing)!, seq };
    return undefined;
  }

  #change(seq: number, payload: JsonValue): string | undefined {
    const said = readChange(payload);
    const to = keyOfLog(said?.to, this.origin);
    const from = said?.fromKey === null ? null : keyOfLog(said?.fromKey, this.origin);
    if (said === undefined || to === undefined || from === undefined) {
      return `entry ${seq} is no change of a key`;
    }
    const before = this.current;
    if (before !== undefined && (from === null || !bytesEqual(before.publicKey, from))) {
      return `entry ${seq} changes the key of another history: the key before it was ${before.fingerprint}, it names ${said.from ?? 'none'}`;
    }
    if (from !== null && fingerprintOf(from, this.#hash) !== said.from) {
      return `entry ${seq} names a fingerprint that is not that of the key before it`;
    }
    if (from !== null && bytesEqual(from, to)) return `entry ${seq} changes a key to itself`;
    const text = changeText({ origin: this.origin, seq }, said);
    const signer = said.signedBy === 'old' ? from! : to;
    if (!this.#holds(said.signature, text, signer)) {
      return `entry ${seq} changes the key, but its signature does not hold: it was not made by ${said.signedBy === 'old' ? 'the key before it' : 'the key it names'} for this place`;
    }
    const announced = this.#announced;
    if (
      said.signedBy === 'successor' &&
      (announced === undefined || !bytesEqual(announced.publicKey, to))
    ) {
      return `entry ${seq} hands the log on to a successor that the key in force did not announce`;
    }
    if (before === undefined && from !== null) this.#keys.push(this.#held(from));
    const held = this.#held(to);
    this.#keys.push({
      ...held,
      change: {
        seq,
        from: said.from,
        to: held.fingerprint,
        signedBy: said.signedBy,
        ...(said.signedBy === 'successor' && { announcedAt: announced!.seq }),
      },
    });
    this.#announced = undefined;
    return undefined;
  }

  /** Changes before this log was begun, as the archive's studio log holds them. */
  #carry({ earlier = [] }: KeyAnnouncement, key: Uint8Array): string | undefined {
    const [first] = earlier;
    if (first === undefined) return undefined;
    const archiveId = parseOrigin(this.origin)?.archiveId;
    if (archiveId === undefined || parseOrigin(first.origin)?.archiveId !== archiveId) {
      return 'the changes it carries are those of another archive';
    }
    const before = new KeyHistory(first.origin, this.options);
    for (const entry of earlier) {
      const problem = entry.origin === first.origin ? before.add(entry) : 'they mix two logs';
      if (problem !== undefined) return `the changes it carries do not hold: ${problem}`;
    }
    if (before.current === undefined || !bytesEqual(before.current.publicKey, key)) {
      return 'the changes it carries lead to another key';
    }
    for (const { change, ...held } of before.#keys) {
      this.#keys.push({
        ...held,
        // what the other log carried itself keeps the name of the log it stands in
        ...(change !== undefined && {
          change: { ...change, origin: change.origin ?? first.origin },
        }),
      });
    }
    return undefined;
  }

  #held(publicKey: Uint8Array): HeldKey {
    return { publicKey, fingerprint: fingerprintOf(publicKey, this.#hash) };
  }

  #holds(signature: string, text: string, publicKey: Uint8Array): boolean {
    return this.#verify(bytesOfBase64(signature)!, new TextEncoder().encode(text), publicKey);
  }

  #ignore(seq: number, why: string): void {
    this.#notices.push(
      `the announcement of a successor at entry ${seq} counts for nothing: ${why}`,
    );
  }
}

/**
 * One change in a sentence for people; the same words in every check.
 * @param within origin line of the log whose history tells of it
 */
export function keyChangeSentence(
  { seq, origin, signedBy, announcedAt }: KeyChanged,
  within: string,
): string {
  const place = (entry: number) =>
    `${entryNameIn(origin ?? within, entry)}${origin === undefined ? '' : ` of ${origin}`}`;
  switch (signedBy) {
    case 'old':
      return `the key was changed at ${place(seq)}, signed by the key before it`;
    case 'successor':
      return `changed without the old key at ${place(seq)}, by the key announced at ${place(announcedAt!)}`;
    case 'none':
      return `changed without the old key at ${place(seq)}, and not by an announced key: nothing ties what follows to the key before it`;
  }
}

/**
 * The entries of a history that a log begun later must carry to be checked alone: every change, and
 * the announcement that a successor's change rests on. The first announcement of a log that itself
 * carries earlier changes goes along with them.
 * @param entries `key.*` entries of the studio's log, in order, with their origin
 */
export function carriedEntries(entries: readonly CarriedEntry[]): CarriedEntry[] {
  const carries = entries.map(({ payload }, at) => at === 0 && carriesMore(payload));
  if (!carries[0] && !entries.some(({ type }) => type === KEY_CHANGE)) return [];
  const needed = entries.filter(({ type }, at) => {
    if (type === KEY_CHANGE || carries[at]) return true;
    const next = entries[at + 1];
    return next?.type === KEY_CHANGE && readChange(next.payload)?.signedBy === 'successor';
  });
  return needed.map(({ origin, seq, type, payload }) => ({ origin, seq, type, payload }));
}

function carriesMore(payload: JsonValue): boolean {
  return (readAnnouncement(payload)?.earlier?.length ?? 0) > 0;
}
