import { mkdirSync } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import { join } from 'node:path';
import { Inject, Injectable, type OnModuleDestroy } from '@nestjs/common';
import { Archive, type MullionConfig, RecentCache, refuseWithdrawn } from '#libs/archive';
import {
  Imaging,
  type ReadAt,
  type RenderPlan,
  readTileTable,
  type TileTable,
  tileAsJpeg,
} from '#libs/imaging';
import { type ObjectStore, withLocalFile } from '#libs/objects';
import { Problem } from '#libs/problem';
import { CONFIG, OBJECTS } from '../platform/tokens.js';
import { type AlignedTile, alignedTile } from './aligned-tile.js';

export interface Pyramid {
  siteId: string;
  digest: string;
  widthPx: number;
  heightPx: number;
  table: TileTable;
}

const OPEN_FILES = 64;
const PYRAMIDS_KNOWN = 2000;
const EDGE_TILE_BYTES = 32 * 2 ** 20;
/** A withdrawn picture is shown no longer than this by a server that had it open. */
const LOOK_AGAIN_MS = 2000;

/**
 * Tiles and other cuts of pictures. A tile on the grid is read by byte range from the one file of the
 * pyramid (measured: 0.03-0.05 ms of CPU); everything else is cut by the decoding processes.
 */
@Injectable()
export class Pyramids implements OnModuleDestroy {
  /** of a media id; what it names never changes, but may be withdrawn */
  private readonly known = new RecentCache<Pyramid & { lookedAtMs: number }>(PYRAMIDS_KNOWN);
  private readonly edges = new RecentCache<Uint8Array>(EDGE_TILE_BYTES);
  private readonly files = new RecentCache<Promise<FileHandle>>(OPEN_FILES, (opening) => {
    void opening.then((file) => file.close()).catch(() => undefined); // never opened: nothing to close
  });
  private readonly scratchFolder: string;

  constructor(
    private readonly archive: Archive,
    private readonly imaging: Imaging,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
    @Inject(CONFIG) config: MullionConfig,
  ) {
    this.scratchFolder = join(config.home, 'scratch');
    mkdirSync(this.scratchFolder, { recursive: true, mode: 0o700 });
  }

  onModuleDestroy(): void {
    this.files.clear();
  }

  /** undefined for an unknown media. @throws {Problem} `tile-unavailable` */
  async ofMedia(mediaId: string): Promise<Pyramid | undefined> {
    const known = this.known.get(mediaId);
    if (known !== undefined && known.lookedAtMs > Date.now() - LOOK_AGAIN_MS) return known;
    const row = await this.archive.reads.first<{
      siteId: string;
      sourceDigest: string;
      contentType: string;
      digest: string | null;
      widthPx: number | null;
      heightPx: number | null;
    }>(
      `SELECT m.site_id, m.digest AS source_digest, m.content_type, d.digest, d.width_px, d.height_px FROM media m
       LEFT JOIN derivative d ON d.source_digest = m.digest AND d.kind = 'pyramid'
       WHERE m.media_id = $1`,
      [mediaId],
    );
    if (row === undefined) return undefined;
    await this.letGoWithdrawn(mediaId, row.sourceDigest, known?.digest);
    if (known !== undefined && known.digest === row.digest) {
      known.lookedAtMs = Date.now();
      return known;
    }
    const { siteId, digest, widthPx, heightPx, contentType } = row;
    if (digest === null || widthPx === null || heightPx === null) {
      const isPicture = contentType.startsWith('image/');
      throw new Problem(
        'tile-unavailable',
        isPicture
          ? 'The picture is being made ready; ask again in a moment.'
          : 'A document has no tiles; read the original.',
        { siteId, ...(isPicture ? { retryAfterS: 2 } : {}) },
      );
    }
    const table = await readTileTable(this.readerOf(digest));
    const pyramid = { siteId, digest, widthPx, heightPx, table, lookedAtMs: Date.now() };
    this.known.set(mediaId, pyramid);
    return pyramid;
  }

  /** A file that is open stays readable after it was removed: it must be closed too. */
  private async letGoWithdrawn(
    mediaId: string,
    sourceDigest: string,
    digest: string | undefined,
  ): Promise<void> {
    try {
      await refuseWithdrawn(this.archive.reads, sourceDigest);
    } catch (error) {
      this.known.remove(mediaId);
      if (digest !== undefined) this.files.remove(digest);
      throw error;
    }
  }

  async picture(pyramid: Pyramid, plan: RenderPlan): Promise<Uint8Array> {
    const { table } = pyramid;
    const tile = alignedTile(plan, pyramid, table.tilePx, table.levels.length);
    if (tile !== undefined) return this.tile(pyramid, tile);
    return withLocalFile(this.objects, pyramid.digest, this.scratchFolder, (path) =>
      this.imaging.render(path, plan),
    );
  }

  private async tile({ digest, table }: Pyramid, tile: AlignedTile): Promise<Uint8Array> {
    const level = table.levels[tile.level]!;
    const index = tile.row * level.tilesAcross + tile.column;
    const isEdge = tile.widthPx < table.tilePx || tile.heightPx < table.tilePx;
    const key = `${digest}/${tile.level}/${index}`;
    const kept = isEdge ? this.edges.get(key) : undefined;
    if (kept !== undefined) return kept;
    const start = level.offsets[index]!;
    const bytes = await this.readerOf(digest)(start, start + level.sizes[index]!);
    const jpeg = tileAsJpeg(level, bytes);
    if (!isEdge) return jpeg;
    const cropped = await this.imaging.cropTile(jpeg, tile.widthPx, tile.heightPx);
    this.edges.set(key, cropped, cropped.length);
    return cropped;
  }

  /** On a disk the file stays open between tiles; elsewhere each read is one range request. */
  private readerOf(digest: string): ReadAt {
    const { objects } = this;
    if (objects.path === undefined) return (start, end) => objects.readRange(digest, start, end);
    const path = objects.path(digest);
    return async (start, end) => {
      let opening = this.files.get(digest);
      if (opening === undefined) {
        opening = open(path, 'r');
        this.files.set(digest, opening);
      }
      const bytes = Buffer.allocUnsafe(end - start);
      const { bytesRead } = await (await opening).read(bytes, 0, bytes.length, start);
      if (bytesRead < bytes.length) throw new RangeError(`only ${bytesRead} bytes at ${start}`);
      return bytes;
    };
  }
}
