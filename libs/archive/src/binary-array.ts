/**
 * Arrays in PostgreSQL's binary form, so that rows go over without being written as text and read
 * again. Source: array_recv and the receive function of each type, src/backend/utils/adt of PostgreSQL
 * (arrayfuncs.c, varlena.c, bool.c, int8.c, int.c, uuid.c, timestamp.c, json.c, jsonb.c), as the documentation's chapter
 * on the frontend/backend protocol leaves to them.
 */

/** pg_type: number of each type; the same in every database */
const OIDS = {
  bool: 16,
  bytea: 17,
  int8: 20,
  int4: 23,
  text: 25,
  json: 114,
  timestamptz: 1184,
  uuid: 2950,
  jsonb: 3802,
} as const;

export type ArrayType = keyof typeof OIDS;

/** Timestamps count from 2000-01-01T00:00:00Z, in microseconds. */
const POSTGRES_EPOCH_MS = Date.UTC(2000, 0, 1);
const HEAD_BYTES = 20;
const JSONB_VERSION = 1;

/**
 * @param values of the type's kind: text, numbers, dates, bytes, or whatever JSON carries; null and
 * undefined are NULL
 */
export function binaryArray(type: ArrayType, values: readonly unknown[]): Buffer {
  const isJson = type === 'json' || type === 'jsonb';
  const parts = isJson
    ? values.map((value) => (isNull(value) ? null : JSON.stringify(value)))
    : values;
  const sizes = parts.map((part) => (isNull(part) ? NULL_SIZE : sizeOf(type, part)));
  const sizeBytes = sizes.reduce((sum, size) => sum + 4 + Math.max(0, size), HEAD_BYTES);
  const bytes = Buffer.allocUnsafe(sizeBytes);
  bytes.writeInt32BE(1, 0); // dimensions
  bytes.writeInt32BE(sizes.includes(NULL_SIZE) ? 1 : 0, 4);
  bytes.writeInt32BE(OIDS[type], 8);
  bytes.writeInt32BE(parts.length, 12);
  bytes.writeInt32BE(1, 16); // number of the first
  let at = HEAD_BYTES;
  for (const [i, part] of parts.entries()) {
    const size = sizes[i]!;
    bytes.writeInt32BE(size, at);
    at += 4;
    if (size === NULL_SIZE) continue;
    write(type, bytes, at, part);
    at += size;
  }
  return bytes;
}

const NULL_SIZE = -1;

function isNull(value: unknown): value is null | undefined {
  return value === null || value === undefined;
}

function sizeOf(type: ArrayType, value: unknown): number {
  switch (type) {
    case 'bytea':
      return (value as Uint8Array).length;
    case 'text':
    case 'json':
      return Buffer.byteLength(value as string);
    case 'jsonb':
      return 1 + Buffer.byteLength(value as string);
    case 'bool':
      return 1;
    case 'int4':
      return 4;
    case 'uuid':
      return 16;
    case 'int8':
    case 'timestamptz':
      return 8;
  }
}

function write(type: ArrayType, bytes: Buffer, at: number, value: unknown): void {
  switch (type) {
    case 'bytea':
      bytes.set(value as Uint8Array, at);
      return;
    case 'text':
    case 'json':
      bytes.write(value as string, at);
      return;
    case 'jsonb':
      bytes[at] = JSONB_VERSION;
      bytes.write(value as string, at + 1);
      return;
    case 'bool':
      bytes[at] = value === true ? 1 : 0;
      return;
    case 'uuid':
      if (bytes.write((value as string).replaceAll('-', ''), at, 16, 'hex') !== 16)
        throw new TypeError(`no uuid: ${String(value)}`);
      return;
    case 'int4':
      bytes.writeInt32BE(value as number, at);
      return;
    case 'int8':
      writeInt8(bytes, at, Number(value));
      return;
    case 'timestamptz':
      writeInt8(bytes, at, ((value as Date).getTime() - POSTGRES_EPOCH_MS) * 1000);
  }
}

/** @param value a whole number below 2⁵³ */
function writeInt8(bytes: Buffer, at: number, value: number): void {
  const high = Math.floor(value / 2 ** 32);
  bytes.writeInt32BE(high, at);
  bytes.writeUInt32BE(value - high * 2 ** 32, at + 4);
}

/** An array of texts as PostgreSQL writes one: array_out, src/backend/utils/adt/arrayfuncs.c. */
export function arrayText(values: readonly string[]): string {
  return `{${values.map((value) => `"${value.replace(/["\\]/g, '\\$&')}"`).join(',')}}`;
}
