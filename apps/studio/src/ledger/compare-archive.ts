/** All logs that a person may read, against what this browser keeps of them. */
import {
  readCheckpoint,
  readEntriesOfType,
  readEntry,
  readGrowth,
  readInclusion,
  readLogs,
  type ToldLogs,
} from '../platform/api/ledger.js';
import { Refused } from '../platform/api/request.js';
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
  const logs = compared.filter((one) => one.kind === 'refused');
  if (logs.length > 0) return { kind: 'refused', logs };
  const epochs = compared.flatMap((one) => (one.kind === 'epoch' ? [one.epoch] : []));
  if (epochs.length > 0) return { kind: 'epoch', epochs };
  return {
    kind: 'good',
    notices: compared.flatMap((one) => (one.kind === 'grew' ? one.notices : [])),
  };
}

/** Goes on with what a restore began: from here on the new logs are remembered. */
export async function acceptEpochs(archiveId: string, epochs: readonly Epoch[]): Promise<void> {
  for (const { head } of epochs) await keepHead(archiveId, head);
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
  const asking: LogAsking = {
    checkpoint: () => readCheckpoint(logId, signal),
    growth: (from, to) => readGrowth(logId, from, to, signal),
    inclusion: (seq, size) => readInclusion(logId, seq, size, signal),
    keyEntries: () => readEntriesOfType(logId, 'key.', signal),
    entry: (seq) => readEntry(logId, seq, signal),
  };
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
      reason: `The archive gave no proof: ${error.message}`,
    };
  }
  if (compared.kind === 'grew' && compared.head !== kept) await keepHead(archiveId, compared.head);
  return compared;
}
