import { Controller, Logger } from '@nestjs/common';
import { momentKey, page, readCursor } from '../platform/paging.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { followJob } from './job-events.js';
import { JobsReader } from './jobs.reader.js';
import * as routes from './jobs.routes.js';

@Controller()
export class JobsController {
  readonly #log = new Logger(JobsController.name);

  constructor(private readonly jobs: JobsReader) {}

  @Route(routes.listJobs)
  async listJobs(@Asked() { actor, query }: AskedFor<typeof routes.listJobs>) {
    const after = readCursor(query.after, momentKey);
    const rows = await this.jobs.list(actor, query.state, after, query.limit + 1);
    return page(rows, query.limit, (row) => [row.askedAt, row.jobId]);
  }

  @Route(routes.job)
  job(@Asked() { actor, params }: AskedFor<typeof routes.job>) {
    return this.jobs.one(actor, params.jobId);
  }

  @Route(routes.jobEvents)
  async jobEvents(@Asked() { actor, params, request, reply }: AskedFor<typeof routes.jobEvents>) {
    await followJob(() => this.jobs.one(actor, params.jobId), request, reply).catch(
      (error: unknown) => {
        if (!reply.sent) throw error;
        // The line is open already: end it, the reader asks anew by itself.
        this.#log.error(error);
        reply.raw.destroy();
      },
    );
  }
}
