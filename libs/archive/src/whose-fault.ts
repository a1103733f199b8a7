/** Whether asking again can help: what server and worker decide a retry by. */
import { isDiskFull, isFault } from '#libs/objects';
import { PROBLEMS, Problem } from '#libs/problem';
import { isDatabaseAway } from './database-away.js';

/**
 * The same request or file would only be refused again. Everything else is the archive's fault, known
 * or not, and must not cost anybody what was sent.
 */
export function isRefusedForGood(error: unknown): error is Problem {
  if (!(error instanceof Problem) || error.code === 'idempotency-key-busy') return false;
  return PROBLEMS[error.code].status < 500;
}

/** Database, store or this machine's disk cannot be reached or have no room: the same will be taken later. */
export function isArchiveAway(error: unknown): boolean {
  if (error instanceof Problem) return error.code !== 'internal' && !isRefusedForGood(error);
  return isDatabaseAway(error) || isFault(error, 'store-unavailable') || isDiskFull(error);
}
