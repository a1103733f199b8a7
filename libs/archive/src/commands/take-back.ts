import type { CommandContext, Decision, ProjectedEntry } from '../command.js';
import type { Count } from '../rows.js';

/** What rows have in common that can be taken back. */
interface Recorded {
  readonly siteId: string;
  readonly entrySeq: Count;
  readonly version: Count;
}

/**
 * Decides the entry that takes back what was recorded in error. Who names a version must name the one
 * that is there.
 *
 * @throws {Problem} `stale-version`
 */
export function takeBack<P>(
  ctx: CommandContext,
  { siteId, entrySeq, version }: Recorded,
  { subject, payload }: Pick<Decision<P>, 'subject' | 'payload'>,
): Decision<P> {
  if (ctx.ifMatch !== undefined) ctx.expectVersion(version);
  return {
    log: { siteId },
    subject,
    happened: null,
    payload,
    supersedes: { seq: Number(entrySeq) },
  };
}

/** What a row says once it was taken back, and by which entry. */
export const takenBack = ({ seq }: Pick<ProjectedEntry, 'seq'>) =>
  ({ state: 'withdrawn', withdrawnSeq: seq, version: seq }) as const;
