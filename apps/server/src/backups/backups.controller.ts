import { Controller } from '@nestjs/common';
import { Archive, backupHealth } from '#libs/archive';
import { needRole } from '../platform/actor.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import * as routes from './backups.routes.js';

@Controller()
export class BackupsController {
  constructor(private readonly archive: Archive) {}

  /** For keepers: the place of a backup is nobody else's business. */
  @Route(routes.backupState)
  async backupState(@Asked() { actor }: AskedFor<typeof routes.backupState>) {
    needRole(actor, null, 'keeper');
    const { madeAt, doThis, ...health } = await backupHealth(this.archive.reads, new Date());
    return { ...health, madeAt: madeAt?.toISOString() ?? null, doThis: doThis ?? null };
  }
}
