/**
 * What was done out of order, or not as agreed. Recording is never refused for it: the entry that
 * records the act carries the flags it raises, and they stay open until a person answers.
 *
 * A command that may raise them puts {@link raiseFlags} into its payload and calls {@link putFlags}
 * where it projects.
 */
import { Problem } from '#libs/problem';
import { type FlagKind, flagSentence } from '#libs/vocabulary';
import type { CommandContext, ProjectedEntry } from './command.js';
import type { FlagRow } from './rows.js';
import { putRow } from './tables.js';
import type { Tx } from './tx.js';

export interface FlagSeed {
  readonly kind: FlagKind;
  /** full mark of what it is about */
  readonly subject: string;
  readonly campaignId?: string | null;
  /** values of the kind's sentence */
  readonly said: Readonly<Record<string, string | number>>;
}

/** As the payload of an entry has it. */
export interface RaisedFlag {
  readonly flagId: string;
  readonly kind: FlagKind;
  readonly subject: string;
  readonly campaignId: string | null;
  readonly said: Readonly<Record<string, string | number>>;
}

/** For `decide`: what the payload holds as `flags`. */
export function raiseFlags(
  ctx: Pick<CommandContext, 'newId'>,
  flags: readonly FlagSeed[],
): RaisedFlag[] {
  return flags.map(({ kind, subject, campaignId = null, said }) => ({
    flagId: ctx.newId(),
    kind,
    subject,
    campaignId,
    said,
  }));
}

/** For `project`: the rows of the flags that the entry raised, all open. */
export async function putFlags(
  tx: Tx,
  entry: ProjectedEntry,
  flags: readonly RaisedFlag[],
): Promise<void> {
  for (const flag of flags) {
    await putRow(tx, 'flag', {
      ...flag,
      siteId: entry.siteId!,
      state: 'open',
      raisedBy: entry.actorId,
      raisedSeq: entry.seq,
      raisedAt: entry.recordedAt,
      answer: null,
      answeredBy: null,
      answeredSeq: null,
      answeredAt: null,
      version: entry.seq,
    });
  }
}

/** What is asked of: all of a campaign, or what lies at and below a mark; both together narrow. */
export interface FlagScope {
  readonly siteId: string;
  readonly campaignId?: string;
  /** full mark: of it, and of what lies in it */
  readonly subject?: string;
}

/** Open flags, oldest first. */
export function openFlags(tx: Tx, { siteId, campaignId, subject }: FlagScope): Promise<FlagRow[]> {
  return tx.query<FlagRow>(
    `SELECT * FROM flag WHERE site_id = $1 AND state = 'open'
       AND ($2::uuid IS NULL OR campaign_id = $2)
       AND ($3::text IS NULL OR subject = $3 OR starts_with(subject, $3 || '.'))
     ORDER BY raised_seq, flag_id`,
    [siteId, campaignId ?? null, subject ?? null],
    ['flag'],
  );
}

/**
 * For what is signed or closed: nobody puts their name over a question that is still open.
 *
 * @throws {Problem} `flags-open`; `flags` are their ids, `sentences` what each says
 */
export async function refuseOverOpenFlags(tx: Tx, scope: FlagScope): Promise<void> {
  const open = await openFlags(tx, scope);
  if (open.length === 0) return;
  const flags = open.map(({ flagId }) => flagId);
  const sentences = open.map(
    ({ kind, subject, said }) =>
      `${subject}: ${flagSentence(kind as FlagKind, said as RaisedFlag['said'])}`,
  );
  throw new Problem(
    'flags-open',
    `${flags.length === 1 ? 'A flag is' : `${flags.length} flags are`} open. Answer each with a reason first. ${sentences.slice(0, 3).join(' ')}`,
    { flags, sentences },
  );
}
