import { Controller, Inject } from '@nestjs/common';
import { Archive, askDossier, dossierView, isAtLeast, unknown } from '#libs/archive';
import { Db } from '#libs/db';
import { fileForm, parseMark, type Scheme } from '#libs/marks';
import type { ObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { type Actor, inReadableSites, roleOf } from '../platform/actor.js';
import { momentKey, page, readCursor } from '../platform/paging.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { OBJECTS } from '../platform/tokens.js';
import * as routes from './dossiers.routes.js';

@Controller()
export class DossiersController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {}

  @Route(routes.listDossiers)
  async listDossiers(@Asked() { actor, params, query }: AskedFor<typeof routes.listDossiers>) {
    const { siteId } = await this.readable.site(actor, params.siteId);
    const after = readCursor(query.after, momentKey);
    const rows = await this.db.dossier.findMany({
      where: {
        siteId,
        ...shownKinds(actor, siteId),
        ...(after === undefined
          ? {}
          : {
              OR: [
                { askedAt: { lt: new Date(after[0]) } },
                { askedAt: new Date(after[0]), dossierId: { lt: after[1] } },
              ],
            }),
      },
      orderBy: [{ askedAt: 'desc' }, { dossierId: 'desc' }],
      take: query.limit + 1,
    });
    const { items, next } = page(rows, query.limit, (row) => [
      row.askedAt.toISOString(),
      row.dossierId,
    ]);
    return { items: items.map(dossierView), next };
  }

  @Route(routes.askDossier)
  askDossier(@Asked() asked: AskedFor<typeof routes.askDossier>) {
    return run(this.archive, askDossier, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.dossierFile)
  async dossierFile(@Asked() { actor, params, reply }: AskedFor<typeof routes.dossierFile>) {
    const row = await this.db.dossier.findFirst({
      where: { AND: [{ dossierId: params.dossierId }, inReadableSites(actor)] },
    });
    if (row === null || (row.kind === 'keepers' && !isKeeper(actor, row.siteId))) {
      throw unknown('dossier');
    }
    if (row.digest === null || row.sizeBytes === null) {
      throw new Problem(
        'dossier-not-ready',
        'The dossier is still being written. Follow its job, then ask again.',
        { jobId: row.jobId },
      );
    }
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: row.siteId } });
    const place = fileForm(parseMark(row.subject, site.scheme as Scheme));
    void reply
      .type('application/zip')
      .header('Content-Length', String(row.sizeBytes))
      .header('ETag', `"${row.digest}"`)
      .header('Content-Disposition', `attachment; filename="${place}-${row.kind}.zip"`);
    return this.objects.read(row.digest);
  }
}

function isKeeper(actor: Actor, siteId: string): boolean {
  return isAtLeast(roleOf(actor, siteId), 'keeper');
}

function shownKinds(actor: Actor, siteId: string): { kind?: string } {
  return isKeeper(actor, siteId) ? {} : { kind: 'handed-out' };
}
