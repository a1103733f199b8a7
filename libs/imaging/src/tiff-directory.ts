/**
 * Directories of a TIFF (6.0) or BigTIFF file, read by byte range, so that a file in a remote store
 * is never fetched whole. Only what pyramids and DNG previews need: numbers and short byte fields.
 */

/** Bytes start … end − 1; may throw when they are not there. */
export type ReadAt = (start: number, end: number) => Promise<Uint8Array>;

/** Tag → values. Byte and undefined fields (type 1, 7) come as the bytes' values. */
export type TiffDirectory = ReadonlyMap<number, readonly number[]>;

export const TIFF_TAG = {
  newSubfileType: 254,
  width: 256,
  height: 257,
  compression: 259,
  photometric: 262,
  stripOffsets: 273,
  orientation: 274,
  stripByteCounts: 279,
  tileWidth: 322,
  tileHeight: 323,
  tileOffsets: 324,
  tileByteCounts: 325,
  subDirectories: 330,
  jpegTables: 347,
  jpegOffset: 513,
  jpegByteCount: 514,
  dngVersion: 50706,
} as const;

const BYTES_OF_TYPE: Readonly<Record<number, number>> = {
  1: 1,
  3: 2,
  4: 4,
  7: 1,
  13: 4,
  16: 8,
  18: 8,
};
const MAX_DIRECTORIES = 1000;
const MAX_ENTRIES = 4096;
const MAX_VALUES = 1_000_000;

interface Layout {
  view(bytes: Uint8Array): DataView;
  littleEndian: boolean;
  big: boolean;
}

/**
 * The main directories in order, each with its sub-directories after it when `withSub`.
 *
 * @throws {RangeError} when the chain loops or a count is not believable
 */
export async function readTiffDirectories(
  readAt: ReadAt,
  options: { withSub?: boolean } = {},
): Promise<TiffDirectory[]> {
  const head = await readAt(0, 16);
  const littleEndian = head[0] === 0x49;
  const view = (bytes: Uint8Array): DataView =>
    new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const version = view(head).getUint16(2, littleEndian);
  if (version !== 42 && version !== 43) throw new RangeError(`TIFF version ${version}`);
  const layout: Layout = { view, littleEndian, big: version === 43 };

  const found: TiffDirectory[] = [];
  const seen = new Set<number>();
  const queue = [
    layout.big
      ? Number(view(head).getBigUint64(8, littleEndian))
      : view(head).getUint32(4, littleEndian),
  ];
  while (queue.length > 0) {
    const at = queue.shift()!;
    if (at === 0) continue;
    if (seen.has(at) || seen.size > MAX_DIRECTORIES) throw new RangeError('TIFF directories loop');
    seen.add(at);
    const { directory, next } = await readDirectory(readAt, layout, at);
    found.push(directory);
    if (options.withSub === true) queue.push(...(directory.get(TIFF_TAG.subDirectories) ?? []));
    queue.unshift(next);
  }
  return found;
}

async function readDirectory(
  readAt: ReadAt,
  layout: Layout,
  at: number,
): Promise<{ directory: TiffDirectory; next: number }> {
  const { littleEndian, big } = layout;
  const [countBytes, entryBytes, wordBytes] = big ? [8, 20, 8] : [2, 12, 4];
  const countView = layout.view(await readAt(at, at + countBytes));
  const count = big
    ? Number(countView.getBigUint64(0, littleEndian))
    : countView.getUint16(0, littleEndian);
  if (count > MAX_ENTRIES) throw new RangeError(`TIFF directory with ${count} entries`);
  const bodyAt = at + countBytes;
  const body = await readAt(bodyAt, bodyAt + count * entryBytes + wordBytes);
  const view = layout.view(body);
  const word = (offset: number): number =>
    big ? Number(view.getBigUint64(offset, littleEndian)) : view.getUint32(offset, littleEndian);

  const directory = new Map<number, readonly number[]>();
  for (let i = 0; i < count; i++) {
    const entry = i * entryBytes;
    const tag = view.getUint16(entry, littleEndian);
    const type = view.getUint16(entry + 2, littleEndian);
    const values = word(entry + 4);
    const valueBytes = BYTES_OF_TYPE[type];
    if (valueBytes === undefined) continue;
    if (values > MAX_VALUES) throw new RangeError(`TIFF field ${tag} with ${values} values`);
    const fieldAt = entry + 4 + wordBytes;
    const sizeBytes = values * valueBytes;
    const bytes =
      sizeBytes <= wordBytes
        ? body.subarray(fieldAt, fieldAt + sizeBytes)
        : await readAt(word(fieldAt), word(fieldAt) + sizeBytes);
    directory.set(tag, numbersOf(layout.view(bytes), valueBytes, values, littleEndian));
  }
  return { directory, next: word(count * entryBytes) };
}

function numbersOf(
  view: DataView,
  valueBytes: number,
  count: number,
  littleEndian: boolean,
): number[] {
  const numbers = new Array<number>(count);
  for (let i = 0; i < count; i++) {
    const at = i * valueBytes;
    numbers[i] =
      valueBytes === 1
        ? view.getUint8(at)
        : valueBytes === 2
          ? view.getUint16(at, littleEndian)
          : valueBytes === 4
            ? view.getUint32(at, littleEndian)
            : Number(view.getBigUint64(at, littleEndian));
  }
  return numbers;
}
