import { Controller } from '@nestjs/common';
import { Archive, layPicture, netRevisionView, reviseNet, signNet } from '#libs/archive';
import { Db } from '#libs/db';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { NetRevisions } from './net-revisions.reader.js';
import * as routes from './nets.routes.js';

@Controller()
export class NetsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
    private readonly revisions: NetRevisions,
  ) {}

  @Route(routes.listNets)
  async listNets(@Asked() { actor, params }: AskedFor<typeof routes.listNets>) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.db.netRevision.findMany({
      where: { siteId, panelId },
      orderBy: { revision: 'desc' },
    });
    const named = await this.revisions.namesOf(
      rows.flatMap(({ recordedBy, signedBy }) => [recordedBy, signedBy ?? recordedBy]),
    );
    const items = rows.map((row) => ({
      ...netRevisionView(row),
      recordedByName: named.get(row.recordedBy) ?? null,
      signedByName: row.signedBy === null ? null : (named.get(row.signedBy) ?? null),
    }));
    return { items, next: null };
  }

  @Route(routes.net)
  async net(@Asked() { actor, params, reply }: AskedFor<typeof routes.net>) {
    const panel = await this.readable.panel(actor, params.panelId);
    const row = await this.revisions.one(panel, params.revision);
    void reply.type('application/json').header('ETag', `"${params.revision}"`);
    return this.revisions.stored(row);
  }

  @Route(routes.netChanges)
  async netChanges(@Asked() { actor, params, query }: AskedFor<typeof routes.netChanges>) {
    const panel = await this.readable.panel(actor, params.panelId);
    return this.revisions.changes(panel, params.revision, query.since);
  }

  @Route(routes.reviseNet)
  reviseNet(@Asked() asked: AskedFor<typeof routes.reviseNet>) {
    return run(this.archive, reviseNet, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.signNet)
  signNet(@Asked() asked: AskedFor<typeof routes.signNet>) {
    return run(this.archive, signNet, asked.params, asked);
  }

  @Route(routes.layPicture)
  layPicture(@Asked() asked: AskedFor<typeof routes.layPicture>) {
    return run(this.archive, layPicture, { ...asked.body, ...asked.params }, asked);
  }
}
