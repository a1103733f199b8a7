import { createHash } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import { getJson, RecentCache } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { type NamedOutline, packOutlines } from '#libs/elevation';
import { type BoundsMm, boundsMm, type Net, pointsOfFlat, type XyMm } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { OBJECTS, POOL } from '../platform/tokens.js';

/** What a phone on a poor line takes for a whole window. */
const MAX_BYTES = 300_000;
/** Pieces whose outlines are kept, and packed windows. */
const KEPT_PIECES = 40_000;
const KEPT_WINDOWS = 16;

interface DrawnPanel {
  readonly mark: string;
  readonly ringMm: readonly number[];
  readonly netDigest: string;
}

export interface PackedWindow {
  readonly bytes: Uint8Array;
  /** changes with the drawing of the window and with every lead drawing in it */
  readonly etag: string;
}

/**
 * Every lead drawing of a window in one packed outline, in the window's frame: a panel under its mark
 * (`2b`), the glass seen of a piece under panel and piece (`2b.17`).
 */
@Injectable()
export class OutlineReader {
  readonly #panels = new RecentCache<readonly NamedOutline[]>(KEPT_PIECES);
  readonly #windows = new RecentCache<PackedWindow>(KEPT_WINDOWS);

  constructor(
    @Inject(POOL) private readonly pool: PgPool,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {}

  async ofWindow(siteId: string, windowId: string): Promise<PackedWindow> {
    const { rows } = await this.pool.query<DrawnPanel>(
      `SELECT p.mark, p.ring_mm AS "ringMm", n.object_digest AS "netDigest"
       FROM panel p JOIN LATERAL (
         SELECT object_digest FROM net_revision
         WHERE panel_id = p.panel_id AND layer = 'front' ORDER BY revision DESC LIMIT 1) n ON true
       WHERE p.site_id = $1 AND p.window_id = $2 AND NOT p.retired
       ORDER BY p.sort_key`,
      [siteId, windowId],
    );
    const hash = createHash('sha256');
    for (const { mark, ringMm, netDigest } of rows)
      hash.update(JSON.stringify([mark, ringMm, netDigest]));
    const etag = `"${hash.digest('base64url').slice(0, 27)}"`;
    const known = this.#windows.get(etag);
    if (known !== undefined) return known;
    const outlines: NamedOutline[] = [];
    for (const panel of rows) outlines.push(...hung(panel, await this.#drawing(panel.netDigest)));
    const packed = { bytes: packOutlines(outlines, { maxBytes: MAX_BYTES }), etag };
    this.#windows.set(etag, packed);
    return packed;
  }

  /** In the panel's own frame; the panel first, under no name. */
  async #drawing(digest: string): Promise<readonly NamedOutline[]> {
    const known = this.#panels.get(digest);
    if (known !== undefined) return known;
    // Checked when it was stored; its digest was checked on the way here.
    const net = (await getJson(this.objects, digest)) as Pick<Net, 'outlineMm' | 'pieces'>;
    const read = [
      { name: '', ringsMm: [net.outlineMm] },
      ...net.pieces.map(({ pieceId, sightRingsMm }) => ({ name: pieceId, ringsMm: sightRingsMm })),
    ];
    this.#panels.set(digest, read, read.length);
    return read;
  }
}

/** The lead drawing has the panel's own frame; the window says where its middle hangs. */
function hung(panel: DrawnPanel, drawing: readonly NamedOutline[]): NamedOutline[] {
  const [dx, dy] = between(boundsMm(drawing[0]!.ringsMm[0]!), boundsMm(pointsOfFlat(panel.ringMm)));
  return drawing.map(({ name, ringsMm }) => ({
    name: name === '' ? panel.mark : `${panel.mark}.${name}`,
    ringsMm: ringsMm.map((ring) => ring.map(([x, y]): XyMm => [x + dx, y + dy])),
  }));
}

const between = (from: BoundsMm, to: BoundsMm): XyMm => [
  (to.minX + to.maxX - from.minX - from.maxX) / 2,
  (to.minY + to.maxY - from.minY - from.maxY) / 2,
];
