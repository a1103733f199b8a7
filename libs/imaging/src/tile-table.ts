import {
  type ReadAt,
  readTiffDirectories,
  TIFF_TAG,
  type TiffDirectory,
} from './tiff-directory.js';

/**
 * One size of a pyramid. Tiles are row-major. The size includes what was continued to the right and
 * below; the picture's own size on level n is its full size / 2ⁿ, rounded up.
 */
export interface PyramidLevel {
  widthPx: number;
  heightPx: number;
  tilesAcross: number;
  tilesDown: number;
  offsets: readonly number[];
  sizes: readonly number[];
  /** quantisation and Huffman tables shared by the level's tiles: a JPEG stream without picture */
  jpegTables: Uint8Array;
  /** TIFF photometric interpretation: 1 grey, 2 RGB, 6 YCbCr */
  photometric: number;
}

/** Where the tiles of one pyramidal TIFF lie; level 0 is the full size, each next one half of it. */
export interface TileTable {
  tilePx: number;
  levels: readonly PyramidLevel[];
}

/**
 * Reads the tile table of a JPEG-in-TIFF pyramid as `makePyramid` writes it.
 *
 * @throws {RangeError} if the file is not such a pyramid
 */
export async function readTileTable(readAt: ReadAt): Promise<TileTable> {
  const directories = await readTiffDirectories(readAt);
  const tilePx = directories[0]?.get(TIFF_TAG.tileWidth)?.[0];
  if (tilePx === undefined) throw new RangeError('expected a tiled TIFF');
  return { tilePx, levels: directories.map((directory) => levelOf(directory, tilePx)) };
}

function levelOf(directory: TiffDirectory, tilePx: number): PyramidLevel {
  const one = (tag: number): number => {
    const value = directory.get(tag)?.[0];
    if (value === undefined) throw new RangeError(`TIFF field ${tag} is missing`);
    return value;
  };
  const widthPx = one(TIFF_TAG.width);
  const heightPx = one(TIFF_TAG.height);
  const tilesAcross = Math.ceil(widthPx / tilePx);
  const tilesDown = Math.ceil(heightPx / tilePx);
  const offsets = directory.get(TIFF_TAG.tileOffsets) ?? [];
  const sizes = directory.get(TIFF_TAG.tileByteCounts) ?? [];
  const isWhole = offsets.length === tilesAcross * tilesDown && sizes.length === offsets.length;
  const isSquare = one(TIFF_TAG.tileWidth) === tilePx && one(TIFF_TAG.tileHeight) === tilePx;
  if (!isWhole || !isSquare || one(TIFF_TAG.compression) !== 7) {
    throw new RangeError('expected square JPEG tiles over the whole picture');
  }
  return {
    widthPx,
    heightPx,
    tilesAcross,
    tilesDown,
    offsets,
    sizes,
    jpegTables: Uint8Array.from(directory.get(TIFF_TAG.jpegTables) ?? []),
    photometric: one(TIFF_TAG.photometric),
  };
}

/**
 * A whole JPEG from one tile's bytes: start of image, the level's tables, the tile. An RGB tile
 * gets an Adobe marker, since a reader takes three unmarked components for YCbCr.
 *
 * Source: TIFF Technical Note 2 (JPEG in TIFF, abbreviated streams), ITU-T T.81 B.2 and B.5.
 *
 * @param tile an abbreviated stream, beginning with its own start-of-image marker
 */
export function tileAsJpeg(level: PyramidLevel, tile: Uint8Array): Uint8Array {
  const tables = level.jpegTables;
  const tablesBody = tables.length > 4 ? tables.subarray(2, tables.length - 2) : EMPTY;
  const adobe = level.photometric === 2 ? ADOBE_RGB : EMPTY;
  const jpeg = new Uint8Array(2 + adobe.length + tablesBody.length + tile.length - 2);
  jpeg.set(tile.subarray(0, 2), 0);
  jpeg.set(adobe, 2);
  jpeg.set(tablesBody, 2 + adobe.length);
  jpeg.set(tile.subarray(2), 2 + adobe.length + tablesBody.length);
  return jpeg;
}

const EMPTY = new Uint8Array(0);
// APP14, 14 bytes: "Adobe", version 100, flags 0, flags 0, transform 0 (RGB)
const ADOBE_RGB = Uint8Array.of(
  0xff,
  0xee,
  0,
  14,
  0x41,
  0x64,
  0x6f,
  0x62,
  0x65,
  0,
  100,
  0,
  0,
  0,
  0,
  0,
);
