/** Whether a log that is behind what this browser keeps says itself what a restore lost. */
import {
  base64Of,
  bytesEqual,
  type Checkpoint,
  EpochHistory,
  isLaterEpoch,
  LOG_EPOCH,
  parseVerifierKey,
  type ToldEpoch,
  verifierKey,
} from '#libs/ledger';
import type { ToldLog } from '../platform/api/ledger.js';
import { type Epoch, headOf, type LogAsking, openHead, proven } from './compare-log.js';
import type { KeptHead } from './kept-heads.js';

/**
 * A later epoch of the log, if it says of itself that it follows a restore which lost what was seen
 * here: then the closed log may be shorter than it was.
 * @param closed what the archive shows now under the place of the kept log
 * @param later a log of the same archive and place with a later epoch
 */
export async function epochAfter(
  kept: KeptHead,
  toldKey: Uint8Array,
  closed: { told: ToldLog; ask: LogAsking },
  later: { told: ToldLog; ask: LogAsking },
  now: string,
): Promise<Epoch | undefined> {
  // The key that this browser knows must sign both: an epoch by a stranger is none.
  if (!bytesEqual(parseVerifierKey(kept.key)!.publicKey, toldKey)) return undefined;
  const headNow = async ({ told, ask }: { told: ToldLog; ask: LogAsking }) => {
    const key = verifierKey(told.origin, toldKey);
    const note = await ask.checkpoint();
    const head = openHead(note, key);
    return typeof head === 'string'
      ? undefined
      : { head, kept: headOf(told, head, note, key, kept.keySince, now) };
  };
  const [before, after] = [await headNow(closed), await headNow(later)];
  if (before === undefined || after === undefined) return undefined;
  const history = new EpochHistory(later.told.origin);
  for (const told of await later.ask.entriesOfType(LOG_EPOCH)) {
    const entry = await proven(told, after.head, later.ask);
    if (typeof entry !== 'string') history.add(entry);
  }
  const { told } = history;
  if (!closedAs(told[0], before.head)) return undefined;
  const said = told.find(
    ({ payload: { known } }) => known.origin === kept.origin && known.size >= kept.size,
  );
  return said && { kept, closed: before.kept, head: after.kept, said };
}

/** Whether the log that is shown closed as the first entry of the next epoch says. */
function closedAs(opened: ToldEpoch | undefined, closed: Checkpoint): boolean {
  if (opened?.seq !== 0) return false;
  const { origin, size, rootHash } = opened.payload.before;
  // a log of a still later epoch closed others than this one: what it tells is held against them there
  if (origin !== closed.origin) return isLaterEpoch(origin, closed.origin);
  return size === closed.size && rootHash === base64Of(closed.root);
}
