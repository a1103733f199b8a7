import { Injectable } from '@nestjs/common';
import { Db } from '#libs/db';
import { Problem } from '#libs/problem';
import { type Actor, inReadableSites } from '../platform/actor.js';
import type { JOB_STATES } from './jobs.routes.js';

type JobState = (typeof JOB_STATES)[number];

export interface JobView {
  jobId: string;
  queue: string;
  siteId: string | null;
  subject: string | null;
  state: JobState;
  stage: string | null;
  ratio: number;
  result: Record<string, unknown> | null;
  problem: Record<string, unknown> | null;
  askedAt: string;
  changedAt: string;
}

@Injectable()
export class JobsReader {
  constructor(private readonly db: Db) {}

  /** @throws {Problem} `job-unknown` */
  async one(actor: Actor, jobId: string): Promise<JobView> {
    const row = await this.db.jobProgress.findFirst({
      where: { AND: [{ jobId }, seenBy(actor)] },
    });
    if (row === null) {
      throw new Problem('job-unknown', 'No job that you may see has this id. /v1/jobs lists them.');
    }
    return view(row);
  }

  async list(
    actor: Actor,
    state: JobState | undefined,
    after: readonly [string, string] | undefined,
    limit: number,
  ): Promise<JobView[]> {
    const rows = await this.db.jobProgress.findMany({
      where: {
        AND: [
          seenBy(actor),
          state === undefined ? {} : { state },
          after === undefined
            ? {}
            : {
                OR: [
                  { askedAt: { lt: new Date(after[0]) } },
                  { askedAt: new Date(after[0]), jobId: { lt: after[1] } },
                ],
              },
        ],
      },
      orderBy: [{ askedAt: 'desc' }, { jobId: 'desc' }],
      take: limit,
    });
    return rows.map(view);
  }
}

// A job without a site belongs to the studio and to who asked for it.
function seenBy(actor: Actor) {
  const inSites = inReadableSites(actor);
  // an empty condition among OR is dropped by Prisma instead of being true
  if (inSites.siteId === undefined) return {};
  return { OR: [inSites, { siteId: null, askedBy: actor.personId }] };
}

function view(row: {
  jobId: string;
  queue: string;
  siteId: string | null;
  subject: string | null;
  state: string;
  stage: string | null;
  ratio: number;
  result: unknown;
  problem: unknown;
  askedAt: Date;
  changedAt: Date;
}): JobView {
  const { jobId, queue, siteId, subject, stage, ratio } = row;
  return {
    jobId,
    queue,
    siteId,
    subject,
    state: row.state as JobState,
    stage,
    ratio,
    result: row.result as Record<string, unknown> | null,
    problem: row.problem as Record<string, unknown> | null,
    askedAt: row.askedAt.toISOString(),
    changedAt: row.changedAt.toISOString(),
  };
}
