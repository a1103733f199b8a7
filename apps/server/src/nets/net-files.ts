import type { Readable } from 'node:stream';
import { Inject, Injectable } from '@nestjs/common';
import {
  gaugesOf,
  getNet,
  type NetReading,
  type NetRevisionRow,
  panelPlace,
  Tx,
  unknown,
  without,
} from '#libs/archive';
import { Db, type PgPool } from '#libs/db';
import { fileForm, parseMark, type Scheme } from '#libs/marks';
import type { ObjectStore } from '#libs/objects';
import { OBJECTS, POOL } from '../platform/tokens.js';
import { netFileOf } from './net-file-of.js';
import type { NetFileName, NetFileQuery } from './net-files.routes.js';
import type { PanelOf } from './net-revisions.reader.js';

/** How the worker keeps the pictures of its steps: under the digest of the net that it read. */
const STAGE_KIND = 'stage/';

interface StageProvenance {
  order: number;
  title: string;
  caption: string;
  imageFromPanel: number[] | null;
}

/** The files made of one revision of the lead drawing, and how it was read. */
@Injectable()
export class NetFiles {
  readonly #tx: Tx;

  constructor(
    private readonly db: Db,
    @Inject(POOL) pool: PgPool,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {
    this.#tx = new Tx(pool);
  }

  /** @throws {Problem} `net-unknown` for a flattened picture of a drawing that no machine read */
  async file(
    panel: PanelOf,
    row: NetRevisionRow,
    file: NetFileName,
    query: NetFileQuery,
  ): Promise<{ body: string | Buffer | Readable; fileName: string }> {
    const { fullMark } = await panelPlace(this.#tx, panel.panelId);
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: panel.siteId } });
    const place = fileForm(parseMark(fullMark, site.scheme as Scheme));
    const fileName = `${place}-r${row.revision}-${file}`;
    if (file === 'rectified.jpg') return { body: await this.#rectified(row), fileName };
    if (file === 'net.json') return { body: await this.objects.read(row.objectDigest), fileName };
    const net = await getNet(this.objects, row.objectDigest);
    const gauged = file.startsWith('schedule.')
      ? (await gaugesOf(this.#tx, [panel.panelId])).get(panel.panelId)
      : undefined;
    return {
      body: await netFileOf(net, file, { mark: fullMark, revision: row.revision, gauged }, query),
      fileName,
    };
  }

  /** Steps of the reading that this revision goes back to, in their order. */
  async stages(row: NetRevisionRow) {
    const reading = row.reading as NetReading | null;
    if (reading === null) return [];
    const rows = await this.db.derivative.findMany({
      where: { sourceDigest: reading.netDigest, kind: { startsWith: STAGE_KIND } },
    });
    return rows
      .map(({ kind, widthPx, heightPx, provenance }) => ({
        key: kind.slice(STAGE_KIND.length),
        widthPx: widthPx!,
        heightPx: heightPx!,
        ...(provenance as unknown as StageProvenance),
      }))
      .sort((a, b) => a.order - b.order)
      .map((stage) => without(stage, 'order'));
  }

  /** @throws {Problem} `net-unknown` when the reading has no such step */
  async stage(row: NetRevisionRow, key: string): Promise<Readable> {
    const reading = row.reading as NetReading | null;
    if (reading === null) throw unknown('net');
    const derived = await this.db.derivative.findUnique({
      where: {
        sourceDigest_kind: { sourceDigest: reading.netDigest, kind: `${STAGE_KIND}${key}` },
      },
    });
    if (derived === null) throw unknown('net');
    return this.objects.read(derived.digest);
  }

  #rectified(row: NetRevisionRow): Promise<Readable> {
    const rectified = (row.reading as NetReading | null)?.rectified ?? null;
    if (rectified === null) throw unknown('net');
    return this.objects.read(rectified.digest);
  }
}
