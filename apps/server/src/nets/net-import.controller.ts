import { Controller, Inject } from '@nestjs/common';
import { Archive, cartoonNet, drawingBefore, importNet, without } from '#libs/archive';
import type { ObjectStore } from '#libs/objects';
import { needRole } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { OBJECTS } from '../platform/tokens.js';
import * as routes from './net-import.routes.js';

@Controller()
export class NetImportController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {}

  @Route(routes.checkCartoon)
  async checkCartoon(
    @Asked() { actor, params, body, reply }: AskedFor<typeof routes.checkCartoon>,
  ) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    needRole(actor, siteId, 'recorder');
    const { reads } = this.archive;
    const before = await drawingBefore(reads, this.objects, panelId, body.layer);
    const { cartoon, net } = cartoonNet(body, before.numbering);
    void reply.status(200);
    return { ...without(cartoon, 'sketch'), net };
  }

  @Route(routes.importNet)
  importNet(@Asked() asked: AskedFor<typeof routes.importNet>) {
    return run(this.archive, importNet, { ...asked.body, ...asked.params }, asked);
  }
}
