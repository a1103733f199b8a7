/**
 * Arrays in PostgreSQL's binary form, so that rows go over without being written as text and read
 * again. Source: array_recv and the receive function of each type, src/backend/utils/adt of PostgreSQL
 * (arrayfuncs.c, varlena.c, int8.c, int.c, uuid.c, timestamp.c, json.c), as the documentation's chapter
 * on the frontend/backend protocol leaves to them.
 */

/** pg_type: number of each type; the same in every database */
const OIDS = {
  bytea: 17,
  int8: 20,
  int4: 23,
  text: 25,
  json: 114,
  timestamptz: 1184,
  uuid: 2950,
} as const;

export type ArrayType = keyof typeof OIDS;

/** Timestamps count from 2000-01-01T00:00:00Z, in microseconds. */
const POSTGRES_EPOCH_MS = Date.UTC(2000, 0, 1);
const HEAD_BYTES = 20;

/**
 * @param values of the type's kind: text, numbers, dates, bytes, or whatever JSON carries; null and
 * undefined are NULL
 */
export function binaryArray(type: ArrayType, values: readonly unknown[]): Buffer {
  const parts = values.map((value) => elementOf(type, value));
  const sizeBytes = parts.reduce((sum, part) => sum + 4 + (part?.length ?? 0), HEAD_BYTES);
  const bytes = Buffer.allocUnsafe(sizeBytes);
  bytes.writeInt32BE(1, 0); // dimensions
  bytes.writeInt32BE(parts.includes(undefined) ? 1 : 0, 4);
  bytes.writeInt32BE(OIDS[type], 8);
  bytes.writeInt32BE(parts.length, 12);
  bytes.writeInt32BE(1, 16); // number of the first
  let at = HEAD_BYTES;
  for (const part of parts) {
    bytes.writeInt32BE(part?.length ?? -1, at);
    at += 4;
    if (part === undefined) continue;
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

function elementOf(type: ArrayType, value: unknown): Uint8Array | undefined {
  if (value === null || value === undefined) return undefined;
  switch (type) {
    case 'bytea':
      return value as Uint8Array;
    case 'text':
      return Buffer.from(value as string);
    case 'json':
      return Buffer.from(JSON.stringify(value));
    case 'uuid':
      return Buffer.from((value as string).replaceAll('-', ''), 'hex');
    case 'int4': {
      const bytes = Buffer.allocUnsafe(4);
      bytes.writeInt32BE(value as number);
      return bytes;
    }
    case 'int8':
      return int8(value as number);
    case 'timestamptz':
      return int8(((value as Date).getTime() - POSTGRES_EPOCH_MS) * 1000);
  }
}

/** @param value a whole number below 2⁵³ */
function int8(value: number): Buffer {
  const bytes = Buffer.allocUnsafe(8);
  const high = Math.floor(value / 2 ** 32);
  bytes.writeInt32BE(high, 0);
  bytes.writeUInt32BE(value - high * 2 ** 32, 4);
  return bytes;
}
