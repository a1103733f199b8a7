import { Controller, Inject } from '@nestjs/common';
import type { PgBoss } from 'pg-boss';
import {
  Archive,
  bossSender,
  firstTimeTokenOver,
  type JobRequest,
  newestSeen,
  queueJobs,
  uuidV7,
} from '#libs/archive';
import { Problem } from '#libs/problem';
import { base64, LedgerReader } from '../ledger/ledger.reader.js';
import { needRole } from '../platform/actor.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { BOSS } from '../platform/tokens.js';
import { OutsideReader } from './outside.reader.js';
import * as routes from './outside.routes.js';

@Controller()
export class OutsideController {
  constructor(
    private readonly archive: Archive,
    private readonly ledger: LedgerReader,
    private readonly reader: OutsideReader,
    @Inject(BOSS) private readonly boss: PgBoss,
  ) {}

  @Route(routes.outside)
  async outside(@Asked() { actor }: AskedFor<typeof routes.outside>) {
    const logs = await this.ledger.logs(actor);
    const items = [];
    for (const log of logs) items.push(await this.reader.ofLog(log));
    return {
      witnesses: this.reader.witnesses,
      timeAuthority: this.reader.config.timeAuthority?.url ?? null,
      alarms: (await this.reader.alarms(logs)).map(
        ({ logId, origin, witness, kind, theirSize, ourSize, says, noticedAt }) => ({
          logId,
          origin,
          witness,
          kind,
          theirSize,
          ourSize,
          says,
          noticedAt: noticedAt.toISOString(),
        }),
      ),
      items,
      next: null,
    };
  }

  @Route(routes.askOutside)
  async askOutside(@Asked() { actor, params }: AskedFor<typeof routes.askOutside>) {
    const { logId, siteId } = await this.ledger.log(actor, params.logId);
    needRole(actor, siteId, 'keeper');
    const { witnesses, timeAuthority } = this.reader.config;
    const queues = [
      ...(witnesses.length > 0 ? ['witness.ask'] : []),
      ...(timeAuthority === undefined ? [] : ['time.ask']),
    ];
    if (queues.length === 0) {
      throw new Problem(
        'witnesses-unset',
        'Nobody outside is named to ask: MULLION_WITNESSES and MULLION_TIME_AUTHORITY are both empty.',
      );
    }
    const now = new Date();
    const jobs = queues.map(
      (queue): JobRequest => ({
        queue,
        data: { logId, isForced: true },
        jobId: uuidV7(now.getTime()),
        ...(siteId !== null && { siteId }),
      }),
    );
    await queueJobs(this.archive.reads, bossSender(this.boss), jobs, actor.personId, now);
    return { jobIds: jobs.map(({ jobId }) => jobId) };
  }

  @Route(routes.evidence)
  async evidence(@Asked() { actor, params, query }: AskedFor<typeof routes.evidence>) {
    const { log, seq } = await this.ledger.logAt(actor, params.logId, query.seq);
    const seen = await newestSeen(this.archive.reads, log);
    const time = await firstTimeTokenOver(this.archive.reads, log, seq);
    return {
      seen: seen !== undefined && seen.size > seq ? seen : null,
      time:
        time === undefined
          ? null
          : { ...time, statedAt: time.statedAt.toISOString(), token: base64(time.token) },
    };
  }
}
