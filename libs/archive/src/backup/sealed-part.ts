/**
 * The sealed part: a row of chunks under one random key (AES-256-GCM), the key wrapped for each
 * recipient. The place of a chunk is its nonce, so chunks cannot be exchanged, left out or repeated
 * unseen: the last one, the index, says how many there are and what they hold.
 *
 * In a copy that stays beside the database (before a migration) the chunks are not sealed: who reads
 * the copy reads the database as well.
 */
import { createCipheriv, createDecipheriv, randomBytes } from 'node:crypto';
import { z } from 'zod';
import { type Opener, type Recipient, unwrapKey, wrapKey, wrappedKeySchema } from './recipients.js';
import { packed, unpacked } from './row-chunks.js';

const KEY_BYTES = 32;
const TAG_BYTES = 16;
const DIGEST = /^sha256:[0-9a-f]{64}$/;

const chunkNumbers = z.array(z.int().min(0));
export const sealedIndexSchema = z.strictObject({
  chunks: z.int().min(0),
  files: z.array(z.strictObject({ name: z.string(), mode: z.int(), chunk: z.int().min(0) })),
  tables: z.array(
    z.strictObject({
      schema: z.string(),
      name: z.string(),
      columns: z.array(z.string()),
      rows: z.int().min(0),
      digest: z.string().regex(DIGEST),
      chunks: chunkNumbers,
    }),
  ),
  jobs: z.array(z.strictObject({ name: z.string(), id: z.string(), data: z.unknown() })),
});
export type SealedIndex = z.infer<typeof sealedIndexSchema>;

export const sealedPartSchema = z.strictObject({
  /** empty: the chunks are plain */
  keys: z.array(wrappedKeySchema),
  /** in their order; the index is the last */
  chunks: z.array(z.string().regex(DIGEST)),
});
export type SealedPart = z.infer<typeof sealedPartSchema>;

/** Keeps a chunk and answers its digest. */
type KeepChunk = (bytes: Uint8Array) => Promise<string>;

export class PartSealer {
  readonly #chunks: string[] = [];

  private constructor(
    private readonly recipients: readonly Recipient[],
    private readonly key: Uint8Array | undefined,
    private readonly keep: KeepChunk,
  ) {}

  static for(recipients: readonly Recipient[], keep: KeepChunk): PartSealer {
    return new PartSealer(
      recipients,
      recipients.length === 0 ? undefined : randomBytes(KEY_BYTES),
      keep,
    );
  }

  /** @returns its number */
  async add(bytes: Uint8Array): Promise<number> {
    const plain = await packed(bytes);
    const number = this.#chunks.length;
    this.#chunks.push(
      await this.keep(this.key === undefined ? plain : sealed(plain, this.key, number)),
    );
    return number;
  }

  async end(index: Omit<SealedIndex, 'chunks'>): Promise<SealedPart> {
    const whole: SealedIndex = { ...index, chunks: this.#chunks.length };
    await this.add(new TextEncoder().encode(JSON.stringify(whole)));
    const { key } = this;
    const keys =
      key === undefined
        ? []
        : await Promise.all(this.recipients.map((recipient) => wrapKey(key, recipient)));
    return { keys, chunks: this.#chunks };
  }
}

export class OpenedPart {
  private constructor(
    readonly index: SealedIndex,
    private readonly part: SealedPart,
    private readonly key: Uint8Array | undefined,
    private readonly read: (digest: string) => Promise<Uint8Array>,
  ) {}

  /**
   * @param read bytes of a chunk, checked against its digest
   * @returns undefined when the opener is none of the recipients
   */
  static async open(
    part: SealedPart,
    opener: Opener | undefined,
    read: (digest: string) => Promise<Uint8Array>,
  ): Promise<OpenedPart | undefined> {
    const isPlain = part.keys.length === 0;
    const key = isPlain || opener === undefined ? undefined : await unwrapKey(part.keys, opener);
    if (!isPlain && key === undefined) return undefined;
    const last = part.chunks.length - 1;
    const text = await opened(await read(part.chunks[last]!), key, last);
    const index = sealedIndexSchema.parse(JSON.parse(new TextDecoder().decode(text)));
    if (index.chunks !== last) throw new Error('the sealed part is not whole');
    return new OpenedPart(index, part, key, read);
  }

  async chunk(number: number): Promise<Uint8Array> {
    return opened(await this.read(this.part.chunks[number]!), this.key, number);
  }
}

function sealed(plain: Uint8Array, key: Uint8Array, number: number): Uint8Array {
  const cipher = createCipheriv('aes-256-gcm', key, nonceOf(number));
  return Buffer.concat([cipher.update(plain), cipher.final(), cipher.getAuthTag()]);
}

async function opened(
  bytes: Uint8Array,
  key: Uint8Array | undefined,
  number: number,
): Promise<Uint8Array> {
  if (key === undefined) return unpacked(bytes);
  const decipher = createDecipheriv('aes-256-gcm', key, nonceOf(number));
  decipher.setAuthTag(bytes.subarray(-TAG_BYTES));
  const plain = Buffer.concat([decipher.update(bytes.subarray(0, -TAG_BYTES)), decipher.final()]);
  return unpacked(plain);
}

function nonceOf(number: number): Uint8Array {
  const nonce = Buffer.alloc(12);
  nonce.writeUInt32BE(number, 8);
  return nonce;
}
