/**
 * The time tokens (RFC 3161) that are kept for a log, each against the checkpoint that it is over. A
 * token that is missing is no fault: authorities are asked now and then, and may be away.
 */
import { checkTimeToken, type readAuthorities, type TimeFault } from '#libs/timestamp';
import { stampedBytes } from '../outside/ask-time.js';
import type { Tx } from '../tx.js';
import type { CheckedArchiveLog, Findings } from './archive-report.js';

export interface TimePorts {
  readonly tx: Tx;
  readonly findings: Findings;
  readonly notes: string[];
  /** certificates that the reader trusts; undefined: anybody's signature is taken, and that is said */
  readonly authorities: ReturnType<typeof readAuthorities> | undefined;
  /** whether the archive asks an authority: only then a log without a token is worth a word */
  readonly isAsked: boolean;
}

interface TokenRow {
  size: number;
  authority: string;
  token: Buffer;
  statedAt: Date;
  note: string | null;
}

/** Whom one trusts, and who may stamp time, is the reader's affair; the rest says that bytes were changed. */
const OF_TRUST: readonly TimeFault[] = ['chain', 'purpose'];

/** Adds what it finds to the log's result. */
export async function checkTimes(log: CheckedArchiveLog, ports: TimePorts): Promise<void> {
  const { tx, notes, isAsked, authorities } = ports;
  const rows = await tx.query<TokenRow>(
    `SELECT t.size, t.authority, t.token, t.stated_at, c.note
     FROM time_token t
     LEFT JOIN checkpoint c ON c.size = t.size AND split_part(c.note, E'\\n', 1) = t.origin
     WHERE t.origin = $1 ORDER BY t.size, t.authority`,
    [log.origin],
  );
  for (const row of rows) {
    const problem = await tokenProblem(row, ports);
    if (problem === undefined) {
      log.times.tokens += 1;
      log.times.newestSize = Math.max(log.times.newestSize, row.size);
    } else {
      const said = `the time token of ${row.authority} over the checkpoint of size ${row.size}`;
      if (problem.isOfTrust) notes.push(`${log.origin}: ${said}: ${problem.reason}`);
      else
        ports.findings.add({
          place: 'time-token',
          log: log.origin,
          reason: `${said}: ${problem.reason}`,
        });
    }
  }
  if (rows.length > 0 && authorities === undefined) {
    notes.push(
      `${log.origin}: whose time tokens these are was not checked: name the authority's certificate with --time-authority`,
    );
  }
  if (rows.length === 0 && isAsked && log.size > 0) {
    notes.push(`${log.origin}: no time token is kept for it`);
  }
}

async function tokenProblem(
  { token, note, statedAt, authority }: TokenRow,
  { authorities }: TimePorts,
): Promise<{ reason: string; isOfTrust: boolean } | undefined> {
  const wrong = (reason: string, isOfTrust = false) => ({ reason, isOfTrust });
  if (note === null) return wrong('that checkpoint is missing');
  const saying = await checkTimeToken(new Uint8Array(token), stampedBytes(note), authorities);
  if (!saying.ok) return wrong(saying.reason, OF_TRUST.includes(saying.fault));
  if (saying.at.getTime() !== statedAt.getTime()) {
    return wrong(
      `the row says ${statedAt.toISOString()}, the token says ${saying.at.toISOString()}`,
    );
  }
  if (saying.authority !== authority) return wrong(`the token is by ${saying.authority}`);
  return undefined;
}
