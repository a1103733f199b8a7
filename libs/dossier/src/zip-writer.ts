/**
 * A zip file as it is written: stored members, sizes and CRC in front of the bytes.
 *
 * Stored, because photographs do not get smaller and the bytes then depend on no compressor's
 * version; sizes in front, because some readers that stream cannot skip a stored member whose size
 * comes after it. The clock plays no part: every member is dated 1980-01-01, the format's first day.
 * Source: .ZIP File Format Specification (APPNOTE) 6.3, sections 4.3, 4.4 and 4.5.3 (zip64).
 */

export interface ZipMember {
  name: string;
  sizeBytes: number;
  crc32: number;
}

const SMALL_MAX = 0xffffffff;
const COUNT_MAX = 0xffff;
const UTF8 = 0x0800;
const FIRST_DAY = 0x0021; // 1980-01-01 in DOS form
const FILE_0644 = 0o100644;

export class ZipLayout {
  private readonly members: (ZipMember & { offset: number; nameBytes: Uint8Array })[] = [];
  private offset = 0;

  /** @param smallMax the size from which zip64 fields are written: a parameter for tests only */
  constructor(private readonly smallMax = SMALL_MAX) {}

  /** Bytes to write in front of the member's own. */
  header(member: ZipMember): Uint8Array {
    const nameBytes = new TextEncoder().encode(member.name);
    const isLarge = member.sizeBytes >= this.smallMax;
    const extra = isLarge ? zip64Extra([member.sizeBytes, member.sizeBytes]) : new Uint8Array(0);
    const out = new Fields(30 + nameBytes.length + extra.length);
    const size = isLarge ? SMALL_MAX : member.sizeBytes;
    out
      .u32(0x04034b50)
      .u16(isLarge ? 45 : 20)
      .u16(UTF8)
      .u16(0)
      .u16(0)
      .u16(FIRST_DAY);
    out.u32(member.crc32).u32(size).u32(size).u16(nameBytes.length).u16(extra.length);
    out.bytes(nameBytes).bytes(extra);
    this.members.push({ ...member, offset: this.offset, nameBytes });
    this.offset += out.data.length + member.sizeBytes;
    return out.data;
  }

  /** Central directory and end records, after the last member. */
  end(): Uint8Array {
    const entries = this.members.map((member) => this.centralEntry(member));
    const sizeBytes = entries.reduce((sum, entry) => sum + entry.length, 0);
    const needs64 =
      this.members.length >= COUNT_MAX ||
      this.offset >= this.smallMax ||
      sizeBytes >= this.smallMax;
    const parts = needs64 ? [...entries, this.end64(sizeBytes)] : entries;
    const end = new Fields(22);
    const count = needs64 ? COUNT_MAX : this.members.length;
    end.u32(0x06054b50).u16(0).u16(0).u16(count).u16(count);
    end
      .u32(needs64 ? SMALL_MAX : sizeBytes)
      .u32(needs64 ? SMALL_MAX : this.offset)
      .u16(0);
    return joined([...parts, end.data]);
  }

  private centralEntry(member: ZipMember & { offset: number; nameBytes: Uint8Array }): Uint8Array {
    const { sizeBytes, offset, nameBytes } = member;
    const isLarge = sizeBytes >= this.smallMax;
    const isFar = offset >= this.smallMax;
    const extra = zip64Extra([
      ...(isLarge ? [sizeBytes, sizeBytes] : []),
      ...(isFar ? [offset] : []),
    ]);
    const out = new Fields(46 + nameBytes.length + extra.length);
    const size = isLarge ? SMALL_MAX : sizeBytes;
    out
      .u32(0x02014b50)
      .u16((3 << 8) | 45)
      .u16(isLarge || isFar ? 45 : 20)
      .u16(UTF8)
      .u16(0);
    out.u16(0).u16(FIRST_DAY).u32(member.crc32).u32(size).u32(size);
    out.u16(nameBytes.length).u16(extra.length).u16(0).u16(0).u16(0);
    out.u32(FILE_0644 * 0x10000).u32(isFar ? SMALL_MAX : offset);
    return out.bytes(nameBytes).bytes(extra).data;
  }

  private end64(directoryBytes: number): Uint8Array {
    const out = new Fields(56 + 20);
    const count = this.members.length;
    out
      .u32(0x06064b50)
      .u64(44)
      .u16((3 << 8) | 45)
      .u16(45)
      .u32(0)
      .u32(0);
    out.u64(count).u64(count).u64(directoryBytes).u64(this.offset);
    out
      .u32(0x07064b50)
      .u32(0)
      .u64(this.offset + directoryBytes)
      .u32(1);
    return out.data;
  }
}

function zip64Extra(values: readonly number[]): Uint8Array {
  if (values.length === 0) return new Uint8Array(0);
  const out = new Fields(4 + 8 * values.length);
  out.u16(0x0001).u16(8 * values.length);
  for (const value of values) out.u64(value);
  return out.data;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** Little-endian fields one after the other. */
class Fields {
  readonly data: Uint8Array;
  private readonly view: DataView;
  private at = 0;

  constructor(length: number) {
    this.data = new Uint8Array(length);
    this.view = new DataView(this.data.buffer);
  }

  u16(value: number): this {
    this.view.setUint16(this.at, value, true);
    this.at += 2;
    return this;
  }

  u32(value: number): this {
    this.view.setUint32(this.at, value, true);
    this.at += 4;
    return this;
  }

  u64(value: number): this {
    this.view.setBigUint64(this.at, BigInt(value), true);
    this.at += 8;
    return this;
  }

  bytes(value: Uint8Array): this {
    this.data.set(value, this.at);
    this.at += value.length;
    return this;
  }
}
