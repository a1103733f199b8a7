/**
 * Lines cut into chunks where their content says so: a line added anywhere changes the chunk it is in
 * and leaves the others as they were, so that the next backup copies only what is new.
 */
import { promisify } from 'node:util';
import { crc32, gunzip, gzip } from 'node:zlib';

const gzipped = promisify(gzip);
const gunzipped = promisify(gunzip);

const LINE_END = 0x0a;
/** One line in 2048 ends a chunk, on average. */
const CUT_MASK = 0x7ff;
const CHUNK_BYTES_MAX = 4 * 1024 * 1024;
const CHUNK_BYTES_MIN = 16 * 1024;

export interface RowChunk {
  readonly bytes: Uint8Array;
  readonly rows: number;
}

/** @param source text of lines, cut anywhere */
export async function* cutRows(source: AsyncIterable<Uint8Array>): AsyncGenerator<RowChunk> {
  let parts: Uint8Array[] = [];
  let size = 0;
  let rows = 0;
  let rest: Uint8Array = new Uint8Array(0);
  for await (const piece of source) {
    const text = rest.length === 0 ? piece : Buffer.concat([rest, piece]);
    let from = 0;
    for (;;) {
      const end = text.indexOf(LINE_END, from);
      if (end === -1) break;
      const line = text.subarray(from, end + 1);
      from = end + 1;
      parts.push(line);
      size += line.length;
      rows += 1;
      const isCut = size >= CHUNK_BYTES_MIN && (crc32(line) & CUT_MASK) === 0;
      if (!isCut && size < CHUNK_BYTES_MAX) continue;
      yield { bytes: Buffer.concat(parts), rows };
      parts = [];
      size = 0;
      rows = 0;
    }
    rest = text.subarray(from);
  }
  if (rest.length > 0) throw new Error('the last row is cut off');
  if (rows > 0) yield { bytes: Buffer.concat(parts), rows };
}

/** gzip (RFC 1952): a form that any machine can open decades later. */
export async function packed(bytes: Uint8Array): Promise<Uint8Array> {
  return gzipped(bytes, { level: 3 });
}

export async function unpacked(bytes: Uint8Array): Promise<Uint8Array> {
  return gunzipped(bytes);
}
