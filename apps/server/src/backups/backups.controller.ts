import { Controller, Inject } from '@nestjs/common';
import {
  Archive,
  backupHealth,
  drillHealth,
  type MullionConfig,
  replicaHealth,
  scrubHealth,
} from '#libs/archive';
import { needRole } from '../platform/actor.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { CONFIG } from '../platform/tokens.js';
import * as routes from './backups.routes.js';

@Controller()
export class BackupsController {
  constructor(
    private readonly archive: Archive,
    @Inject(CONFIG) private readonly config: MullionConfig,
  ) {}

  /** For keepers: the place of a backup is nobody else's business. */
  @Route(routes.backupState)
  async backupState(@Asked() { actor }: AskedFor<typeof routes.backupState>) {
    needRole(actor, null, 'keeper');
    const { reads, objects } = this.archive;
    const now = new Date();
    const { madeAt, ...backup } = await backupHealth(reads, now);
    const { restoredAt, ...drill } = await drillHealth(reads, now);
    const { endedAt, ...scrub } = await scrubHealth(reads, this.config.scrub.everyMs, now);
    const { since, ...replica } = await replicaHealth(objects, now);
    return {
      ...told(backup),
      madeAt: textOf(madeAt),
      drill: { ...told(drill), restoredAt: textOf(restoredAt) },
      scrub: { ...told(scrub), endedAt: textOf(endedAt) },
      replica: { ...told(replica), since: textOf(since) },
    };
  }
}

function told<T extends { doThis: string | undefined }>(health: T) {
  return { ...health, doThis: health.doThis ?? null };
}

function textOf(moment: Date | null): string | null {
  return moment?.toISOString() ?? null;
}
