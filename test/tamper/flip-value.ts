import type { RandomStream } from '../bench/generator/random-stream.js';

/** Types of columns that a bit is turned over in. */
export type Kind = 'bytea' | 'text' | 'uuid' | 'bigint' | 'int' | 'timestamptz';

const UUID = /^(.{8})(.{4})(.{4})(.{4})(.{12})$/;

/**
 * The value with one bit turned over, as the column can hold it.
 * @returns undefined where that bit makes no value of the type (broken UTF-8, a zero byte)
 */
export function flippedValue(value: unknown, kind: Kind, random: RandomStream): unknown {
  switch (kind) {
    case 'bytea':
      return flippedBytes(value as Buffer, random);
    case 'text': {
      const bytes = flippedBytes(Buffer.from(value as string), random);
      if (bytes.includes(0)) return undefined;
      const text = bytes.toString('utf8');
      return Buffer.from(text).equals(bytes) ? text : undefined;
    }
    case 'uuid': {
      const hex = (value as string).replaceAll('-', '');
      const bytes = flippedBytes(Buffer.from(hex, 'hex'), random);
      return bytes.toString('hex').replace(UUID, '$1-$2-$3-$4-$5');
    }
    case 'bigint':
      return String(BigInt(value as string) ^ (1n << BigInt(random.whole(0, 62))));
    case 'int':
      return String(Number(value) ^ (1 << random.whole(0, 30)));
    case 'timestamptz': {
      // milliseconds, as the columns hold them; 2^42 of them are 139 years
      const at = BigInt(new Date(value as string).getTime()) ^ (1n << BigInt(random.whole(0, 41)));
      return new Date(Number(at)).toISOString();
    }
  }
}

function flippedBytes(bytes: Buffer, random: RandomStream): Buffer {
  const changed = Buffer.from(bytes);
  changed[random.whole(0, bytes.length - 1)]! ^= 1 << random.whole(0, 7);
  return changed;
}
