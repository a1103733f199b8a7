/**
 * Reads a zip file by its central directory, in Node and in a browser alike.
 *
 * Strict where an archive can lie: every member's own header must say what the directory says,
 * members may not overlap, names are UTF-8, nothing is encrypted. Members that somebody packed again
 * with deflate are read too.
 * Source: .ZIP File Format Specification (APPNOTE) 6.3, sections 4.3, 4.4 and 4.5.3 (zip64).
 */

export interface RandomAccess {
  sizeBytes: number;
  /** exactly `length` bytes from `start`; rejects past the end */
  read(start: number, length: number): Promise<Uint8Array>;
}

export interface ZipFileMember {
  name: string;
  sizeBytes: number;
  packedBytes: number;
  method: number;
  crc32: number;
  offset: number;
}

export class ZipError extends Error {
  override readonly name = 'ZipError';
}

const END_BYTES = 22;
const COMMENT_MAX = 0xffff;
const CHUNK_BYTES = 1 << 20;
const DIRECTORY_BYTES_MAX = 1 << 28;
const STORED = 0;
const DEFLATED = 8;

/** @throws ZipError when the file is no zip file or its directory contradicts itself */
export async function readZipDirectory(file: RandomAccess): Promise<ZipFileMember[]> {
  const { count, sizeBytes, offset } = await findDirectory(file);
  if (sizeBytes > DIRECTORY_BYTES_MAX || offset + sizeBytes > file.sizeBytes) {
    throw new ZipError('the zip directory lies outside the file');
  }
  const bytes = await file.read(offset, sizeBytes);
  const members: ZipFileMember[] = [];
  let at = 0;
  while (at < bytes.length) {
    const { member, end } = readDirectoryEntry(bytes, at);
    members.push(member);
    at = end;
  }
  if (members.length !== count) {
    throw new ZipError(`the zip directory has ${members.length} members, its end says ${count}`);
  }
  return members;
}

/** The member's bytes, unpacked. @throws ZipError when header, size or packing do not fit */
export async function* readZipMember(
  file: RandomAccess,
  member: ZipFileMember,
): AsyncGenerator<Uint8Array> {
  const start = await dataStart(file, member);
  const packed = readSpan(file, start, member.packedBytes);
  if (member.method === STORED) {
    yield* packed;
    return;
  }
  let unpacked = 0;
  for await (const chunk of inflate(packed, member.name)) {
    unpacked += chunk.length;
    // A small member that unpacks without end is stopped at the size it claims.
    if (unpacked > member.sizeBytes)
      throw new ZipError(`${member.name} unpacks to more than it claims`);
    yield chunk;
  }
  if (unpacked !== member.sizeBytes)
    throw new ZipError(`${member.name} unpacks to less than it claims`);
}

async function findDirectory(
  file: RandomAccess,
): Promise<{ count: number; sizeBytes: number; offset: number }> {
  const length = Math.min(file.sizeBytes, END_BYTES + COMMENT_MAX);
  if (length < END_BYTES) throw new ZipError('not a zip file: too short');
  const tail = await file.read(file.sizeBytes - length, length);
  const view = viewOf(tail);
  for (let at = length - END_BYTES; at >= 0; at--) {
    const isEnd =
      view.getUint32(at, true) === 0x06054b50 &&
      at + END_BYTES + view.getUint16(at + 20, true) === length;
    if (!isEnd) continue;
    const small = {
      count: view.getUint16(at + 10, true),
      sizeBytes: view.getUint32(at + 12, true),
      offset: view.getUint32(at + 16, true),
    };
    const is64 =
      small.count === 0xffff || small.sizeBytes === 0xffffffff || small.offset === 0xffffffff;
    return is64 ? findDirectory64(file, file.sizeBytes - length + at) : small;
  }
  throw new ZipError('not a zip file, or its end is missing');
}

async function findDirectory64(
  file: RandomAccess,
  endAt: number,
): Promise<{ count: number; sizeBytes: number; offset: number }> {
  if (endAt < 20) throw new ZipError('the zip64 end is missing');
  const locator = viewOf(await file.read(endAt - 20, 20));
  const at = safe(locator.getBigUint64(8, true));
  if (locator.getUint32(0, true) !== 0x07064b50 || at + 56 > file.sizeBytes) {
    throw new ZipError('the zip64 end is missing');
  }
  const view = viewOf(await file.read(at, 56));
  if (view.getUint32(0, true) !== 0x06064b50) throw new ZipError('the zip64 end is missing');
  return {
    count: safe(view.getBigUint64(32, true)),
    sizeBytes: safe(view.getBigUint64(40, true)),
    offset: safe(view.getBigUint64(48, true)),
  };
}

function readDirectoryEntry(bytes: Uint8Array, at: number): { member: ZipFileMember; end: number } {
  const view = viewOf(bytes);
  if (at + 46 > bytes.length || view.getUint32(at, true) !== 0x02014b50) {
    throw new ZipError('the zip directory is damaged');
  }
  const flags = view.getUint16(at + 8, true);
  const method = view.getUint16(at + 10, true);
  const nameLength = view.getUint16(at + 28, true);
  const extraLength = view.getUint16(at + 30, true);
  const end = at + 46 + nameLength + extraLength + view.getUint16(at + 32, true);
  if (end > bytes.length) throw new ZipError('the zip directory is damaged');
  const name = nameOf(bytes.subarray(at + 46, at + 46 + nameLength));
  if (flags & 1) throw new ZipError(`${name} is encrypted`);
  if (method !== STORED && method !== DEFLATED)
    throw new ZipError(`${name} is packed in an unknown way (${method})`);
  const extra = bytes.subarray(at + 46 + nameLength, at + 46 + nameLength + extraLength);
  const large = zip64Values(extra);
  const field = (value: number) => (value === 0xffffffff ? (large.shift() ?? value) : value);
  const sizeBytes = field(view.getUint32(at + 24, true));
  const packedBytes = field(view.getUint32(at + 20, true));
  const offset = field(view.getUint32(at + 42, true));
  if (method === STORED && sizeBytes !== packedBytes)
    throw new ZipError(`${name}: two sizes for one stored file`);
  return {
    member: { name, sizeBytes, packedBytes, method, crc32: view.getUint32(at + 16, true), offset },
    end,
  };
}

async function dataStart(file: RandomAccess, member: ZipFileMember): Promise<number> {
  if (member.offset + 30 > file.sizeBytes)
    throw new ZipError(`${member.name} lies outside the file`);
  const view = viewOf(await file.read(member.offset, 30));
  const nameLength = view.getUint16(26, true);
  const start = member.offset + 30 + nameLength + view.getUint16(28, true);
  if (view.getUint32(0, true) !== 0x04034b50 || start + member.packedBytes > file.sizeBytes) {
    throw new ZipError(`${member.name}: its header is damaged or lies outside the file`);
  }
  const name = nameOf(await file.read(member.offset + 30, nameLength));
  if (name !== member.name || view.getUint16(8, true) !== member.method) {
    throw new ZipError(`${member.name}: its own header says ${JSON.stringify(name)}`);
  }
  return start;
}

async function* readSpan(
  file: RandomAccess,
  start: number,
  length: number,
): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < length; at += CHUNK_BYTES) {
    yield await file.read(start + at, Math.min(CHUNK_BYTES, length - at));
  }
}

async function* inflate(
  packed: AsyncIterable<Uint8Array>,
  name: string,
): AsyncGenerator<Uint8Array> {
  const source = packed[Symbol.asyncIterator]();
  const stream = new ReadableStream<Uint8Array<ArrayBuffer>>({
    async pull(controller) {
      const next = await source.next();
      if (next.done === true) controller.close();
      else controller.enqueue(new Uint8Array(next.value));
    },
  });
  const reader = stream.pipeThrough(new DecompressionStream('deflate-raw')).getReader();
  try {
    for (;;) {
      const next = await reader.read();
      if (next.done) return;
      const chunk: Uint8Array = next.value;
      yield chunk;
    }
  } catch (cause) {
    throw new ZipError(`${name} cannot be unpacked`, { cause });
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}

function zip64Values(extra: Uint8Array): number[] {
  const view = viewOf(extra);
  for (let at = 0; at + 4 <= extra.length; ) {
    const length = view.getUint16(at + 2, true);
    if (view.getUint16(at, true) === 0x0001 && at + 4 + length <= extra.length) {
      return Array.from({ length: Math.floor(length / 8) }, (_, i) =>
        safe(view.getBigUint64(at + 4 + 8 * i, true)),
      );
    }
    at += 4 + length;
  }
  return [];
}

function nameOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch (cause) {
    throw new ZipError('a member has a name that is not UTF-8', { cause });
  }
}

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

function safe(value: bigint): number {
  if (value > BigInt(Number.MAX_SAFE_INTEGER))
    throw new ZipError('a size or place beyond any file');
  return Number(value);
}
