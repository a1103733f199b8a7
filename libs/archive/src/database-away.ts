/** Classes of SQLSTATE (PostgreSQL, appendix A) that name no fault of the statement: it may be sent again. */
const PASSING = /^(08|40|53|55|57|58)...$/;

/** What a connection was doing when the system broke it off; a file that is not there is opened, not these. */
const LINE: ReadonlySet<unknown> = new Set(['connect', 'read', 'write']);
const BROKEN: ReadonlySet<string> = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'EPIPE',
  'ETIMEDOUT',
  'ENOENT',
]);

/** The driver gives these no code of their own. */
const WORDS =
  /^(Connection terminated|timeout exceeded when trying to connect|Client was closed|Client has encountered a connection error)/;

/** Whether the database, not the statement, is why it failed: the same may be asked again later. */
export function isDatabaseAway(error: unknown): boolean {
  const { code, syscall, message } = (error ?? {}) as Record<string, unknown>;
  if (typeof code === 'string') {
    return PASSING.test(code) || (BROKEN.has(code) && LINE.has(syscall));
  }
  return typeof message === 'string' && WORDS.test(message);
}
