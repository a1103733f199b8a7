import { forgetOldAnswers } from '#libs/archive';
import type { WorkerJob } from '../worker-job.js';

/** Once a night: answers kept for requests that might have been sent again. */
export const answersForget: WorkerJob = {
  queue: 'answers.forget',
  async run(_data, { archive }, run) {
    return { forgotten: await forgetOldAnswers(archive.reads, new Date(), run.signal) };
  },
};
