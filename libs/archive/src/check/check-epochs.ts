/** The epochs of an archive's histories: each log against what the next one says of it. */
import {
  chainEpochs,
  type EpochChain,
  EpochHistory,
  type EpochLog,
  LOG_EPOCH,
  openEpochOf,
  parseEntry,
  type ToldEpoch,
} from '#libs/ledger';
import type { Tx } from '../tx.js';
import type { CheckedArchiveLog, Findings } from './archive-report.js';
import { nativeVerify } from './native-signature.js';

/**
 * What later epochs tell of losses, read ahead: the logs that they tell of come first. An entry that
 * cannot be read tells nothing here and is named where its turn comes.
 */
export async function toldEpochs(tx: Tx): Promise<ToldEpoch[]> {
  const rows = await tx.query<{ origin: string; bytes: Buffer }>(
    `SELECT l.origin, e.bytes FROM entry e JOIN log l USING (log_id) WHERE e.type = $1
     ORDER BY e.log_id, e.seq`,
    [LOG_EPOCH],
  );
  return rows.flatMap(({ origin, bytes }) => {
    const history = new EpochHistory(origin);
    try {
      history.add(parseEntry(new Uint8Array(bytes)));
    } catch {
      // damaged
    }
    return history.told;
  });
}

/** Adds what does not fit as findings, and every loss to the report of the log that tells of it. */
export function checkEpochs(
  logs: readonly CheckedArchiveLog[],
  epochs: readonly EpochLog[],
  findings: Findings,
): EpochChain {
  const chain = chainEpochs(epochs, { isWhole: true, verifySignature: nativeVerify });
  for (const { origin, seq, reason } of chain.faults) {
    findings.add({ place: 'epoch', log: origin, ...(seq !== undefined && { seq }), reason });
  }
  for (const log of logs) {
    const losses = chain.notices.filter(({ origin }) => origin === log.origin);
    if (losses.length > 0) log.losses = losses.map(({ reason }) => reason);
    if (!chain.vouchedBy.has(log.origin)) continue;
    // a closed log is trusted by what the log that names its root is trusted by
    const open = logs.find(({ origin }) => origin === openEpochOf(log.origin, chain));
    log.isClosed = true;
    if (open?.trust === undefined) delete log.trust;
    else log.trust = open.trust;
    if (open?.witness !== undefined) log.witness = { ...open.witness, size: log.size };
  }
  return chain;
}
