/** All logs that a person may read, against what this browser keeps of them. */
import { isLaterEpoch } from '#libs/ledger';
import {
  readCheckpoint,
  readEntriesOfType,
  readGrowth,
  readInclusion,
  readLogs,
  showKept,
  type ToldLogs,
} from '../platform/api/ledger.js';
import { Refused } from '../platform/api/request.js';
import { say } from '../platform/language/say.js';
import { compareLog, type Epoch, type LogAsking, type LogComparison } from './compare-log.js';
import { archiveHere, keepHead, keptHead, rememberArchiveHere } from './kept-heads.js';

type RefusedLog = Extract<LogComparison, { kind: 'refused' }>;

export type ArchiveComparison =
  | { readonly kind: 'good'; readonly notices: readonly string[] }
  | { readonly kind: 'refused'; readonly logs: readonly RefusedLog[] }
  | { readonly kind: 'epoch'; readonly epochs: readonly Epoch[] }
  /** another archive answers at this address than before */
  | { readonly kind: 'another'; readonly before: string }
  | { readonly kind: 'unreachable'; readonly why: string };

const AT_ONCE = 4;

/** @param isDemo a demo is made anew and thrown away: another one at its address says nothing */
export async function compareArchive(
  { archiveId, isDemo }: { archiveId: string; isDemo: boolean },
  signal: AbortSignal,
): Promise<ArchiveComparison> {
  const before = await archiveHere();
  if (!isDemo && before !== undefined && before !== archiveId) return { kind: 'another', before };
  if (!isDemo && before === undefined) await rememberArchiveHere(archiveId);
  let told: ToldLogs;
  try {
    told = await readLogs(signal);
  } catch (error) {
    signal.throwIfAborted();
    return { kind: 'unreachable', why: error instanceof Error ? error.message : String(error) };
  }
  const compared: LogComparison[] = [];
  for (let from = 0; from < told.items.length; from += AT_ONCE) {
    const some = told.items.slice(from, from + AT_ONCE);
    try {
      compared.push(
        ...(await Promise.all(some.map((log) => compareOne(archiveId, told, log, signal)))),
      );
    } catch (error) {
      signal.throwIfAborted();
      return { kind: 'unreachable', why: error instanceof Error ? error.message : String(error) };
    }
  }
  const refused = compared.filter((one) => one.kind === 'refused');
  const { epochs, logs } = await losses(refused, told, signal);
  if (logs.length > 0) return { kind: 'refused', logs };
  if (epochs.length > 0) return { kind: 'epoch', epochs };
  return {
    kind: 'good',
    notices: compared.flatMap((one) => (one.kind === 'grew' ? one.notices : [])),
  };
}

/**
 * Logs that did not grow from what is kept: those whose loss a later epoch tells, and those that stay
 * refused. An archive that came back from an old backup may not know that it is behind: it is shown
 * what this browser keeps, and may tell of the loss then. One that is not behind and still has no proof
 * was altered: it is given no occasion to explain that away.
 */
async function losses(
  refused: readonly RefusedLog[],
  told: ToldLogs,
  signal: AbortSignal,
): Promise<{ epochs: Epoch[]; logs: RefusedLog[] }> {
  const epochs: Epoch[] = [];
  const logs: RefusedLog[] = [];
  for (const one of refused) {
    const epoch =
      (await epochOver(one, told, signal)) ??
      (isBehind(one, told) && (await isToldWhenShown(one, signal))
        ? await epochOver(one, await readLogs(signal), signal)
        : undefined);
    if (epoch === undefined) logs.push(one);
    else epochs.push(epoch);
  }
  return { epochs, logs };
}

function isBehind({ kept }: RefusedLog, { items }: ToldLogs): boolean {
  const now = items.find(({ logId }) => logId === kept.logId);
  return now !== undefined && now.size < kept.size;
}

async function isToldWhenShown({ kept }: RefusedLog, signal: AbortSignal): Promise<boolean> {
  try {
    return await showKept(kept.logId, kept.note, signal);
  } catch (error) {
    // an archive that does not know the checkpoint for its own tells of nothing: the stop stays
    if (!(error instanceof Refused)) throw error;
    return false;
  }
}

/** Goes on with what a restore began: from here on the new logs are remembered. */
export async function acceptEpochs(archiveId: string, epochs: readonly Epoch[]): Promise<void> {
  for (const { head, closed } of epochs) {
    await keepHead(archiveId, closed);
    await keepHead(archiveId, head);
  }
}

/** A later epoch of a log that did not grow from what is kept: a restore that says what it lost. */
async function epochOver(
  { kept }: RefusedLog,
  { publicKey, items }: ToldLogs,
  signal: AbortSignal,
): Promise<Epoch | undefined> {
  const closed = items.find(({ logId }) => logId === kept.logId);
  if (closed === undefined) return undefined;
  // seldom needed, so it does not come with every wall
  const { epochAfter } = await import('./epoch-after.js');
  const asked = (told: ToldLogs['items'][number]) => ({ told, ask: askingOf(told.logId, signal) });
  for (const later of items.filter(({ origin }) => isLaterEpoch(origin, kept.origin))) {
    const now = new Date().toISOString();
    try {
      const epoch = await epochAfter(kept, publicKey, asked(closed), asked(later), now);
      if (epoch !== undefined) return epoch;
    } catch (error) {
      // an archive that answers without a proof has not told of any epoch
      if (!(error instanceof Refused)) throw error;
    }
  }
  return undefined;
}

function askingOf(logId: string, signal: AbortSignal): LogAsking {
  return {
    checkpoint: () => readCheckpoint(logId, signal),
    growth: (from, to) => readGrowth(logId, from, to, signal),
    inclusion: (seq, size) => readInclusion(logId, seq, size, signal),
    entriesOfType: (typeStart) => readEntriesOfType(logId, typeStart, signal),
  };
}

async function compareOne(
  archiveId: string,
  { publicKey }: ToldLogs,
  log: ToldLogs['items'][number],
  signal: AbortSignal,
): Promise<LogComparison> {
  const { logId } = log;
  const kept = await keptHead(archiveId, logId);
  if (log.size === 0 && kept === undefined) return { kind: 'empty' };
  const asking = askingOf(logId, signal);
  let compared: LogComparison;
  try {
    compared = await compareLog(log, publicKey, kept, asking, new Date().toISOString());
  } catch (error) {
    // An archive that answers, but not with a proof, has not proven anything.
    if (kept === undefined || !(error instanceof Refused)) throw error;
    return {
      kind: 'refused',
      kept,
      came: undefined,
      reason: say('The archive gave no proof: {message}', { message: error.message }),
    };
  }
  if (compared.kind === 'grew' && compared.head !== kept) await keepHead(archiveId, compared.head);
  return compared;
}
