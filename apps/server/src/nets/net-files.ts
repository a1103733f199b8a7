import type { Readable } from 'node:stream';
import { Inject, Injectable } from '@nestjs/common';
import { getNet, type NetRevisionRow, panelPlace, Tx, unknown } from '#libs/archive';
import { Db, type PgPool } from '#libs/db';
import { fileForm, parseMark, type Scheme } from '#libs/marks';
import { netDxf, netSvg, scheduleCsv } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { netPdf } from '#libs/print';
import { OBJECTS, POOL } from '../platform/tokens.js';
import type { NET_FILES } from './nets.routes.js';

interface PanelOf {
  siteId: string;
  panelId: string;
}

/** A revision of the lead drawing and the files made of it. */
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

  /** @throws {Problem} `net-unknown` */
  async revision({ siteId, panelId }: PanelOf, revision: number): Promise<NetRevisionRow> {
    const row = await this.db.netRevision.findFirst({ where: { siteId, panelId, revision } });
    if (row === null) throw unknown('net');
    return row;
  }

  /** The bytes as they were stored. */
  stored(row: NetRevisionRow): Promise<Readable> {
    return this.objects.read(row.objectDigest);
  }

  /** @throws {Problem} `net-unknown` for a flattened picture of a drawing that no machine read */
  async file(
    panel: PanelOf,
    row: NetRevisionRow,
    file: keyof typeof NET_FILES,
  ): Promise<{ body: string | Buffer | Readable; fileName: string }> {
    const { fullMark } = await panelPlace(this.#tx, panel.panelId);
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: panel.siteId } });
    const place = fileForm(parseMark(fullMark, site.scheme as Scheme));
    const fileName = `${place}-r${row.revision}-${file}`;
    if (file === 'rectified.jpg') return { body: await this.#rectified(row), fileName };
    const net = await getNet(this.objects, row.objectDigest);
    switch (file) {
      case 'net.svg':
        return { body: netSvg(net, { title: `${fullMark}, revision ${row.revision}` }), fileName };
      case 'net.dxf':
        return { body: netDxf(net), fileName };
      case 'schedule.csv':
        return { body: scheduleCsv(net), fileName };
      case 'net.pdf': {
        return {
          body: Buffer.from(await netPdf(net, { mark: fullMark, revision: row.revision })),
          fileName,
        };
      }
    }
  }

  async #rectified(row: NetRevisionRow): Promise<Readable> {
    const derived = await this.db.derivative.findUnique({
      where: { sourceDigest_kind: { sourceDigest: row.objectDigest, kind: 'rectified' } },
    });
    if (derived === null) throw unknown('net');
    return this.objects.read(derived.digest);
  }
}
