import type { FastifyReply, FastifyRequest } from 'fastify';
import type { JobView } from './jobs.reader.js';

const LOOK_MS = 250;
const HEARTBEAT_MS = 15_000;

/**
 * Server-sent events until the job has ended or the reader has left (WHATWG HTML, section 9.2).
 * The row is looked at four times a second: one indexed read, the same with one server or many.
 */
export async function followJob(
  look: () => Promise<JobView>,
  request: FastifyRequest,
  reply: FastifyReply,
): Promise<void> {
  const first = await look();
  reply.hijack();
  const { raw } = reply;
  raw.writeHead(200, {
    'Content-Type': 'text/event-stream; charset=utf-8',
    'Cache-Control': 'no-store',
    'X-Accel-Buffering': 'no',
    'X-Content-Type-Options': 'nosniff',
  });
  const send = (event: string, data: unknown) =>
    raw.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  let last = '';
  let quietSince = Date.now();
  for (let job = first; !request.raw.destroyed && !raw.destroyed; job = await look()) {
    if (job.state === 'done') {
      send('done', { result: job.result ?? {} });
      break;
    }
    if (job.state === 'failed') {
      send('failed', { problem: job.problem ?? {} });
      break;
    }
    const progress = JSON.stringify({ stage: job.stage ?? job.state, ratio: job.ratio });
    if (progress !== last) {
      send('progress', { stage: job.stage ?? job.state, ratio: job.ratio });
      last = progress;
      quietSince = Date.now();
    } else if (Date.now() - quietSince > HEARTBEAT_MS) {
      raw.write(': still here\n\n');
      quietSince = Date.now();
    }
    await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
  }
  raw.end();
}
