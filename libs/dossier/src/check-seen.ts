/**
 * What others said of an earlier state of a log: a checkpoint that witnesses cosigned, and one that a
 * time authority stamped. Both must be heads of the same history: their roots are those of its beginning.
 */

import {
  bytesEqual,
  type Checkpoint,
  cosignaturesOn,
  Frontier,
  type LeafList,
  parseCheckpoint,
  parseNote,
  treeHasher,
  witnessKeysBrought,
} from '#libs/ledger';
import { LOG_EXTRA_FILES } from './bag-layout.js';
import type { Hashing } from './digests.js';
import type { DossierFinding, DossierTrust, TimeTold } from './report.js';
import { readWhole, type SourceFile } from './source.js';

export interface SeenCheck {
  findings: DossierFinding[];
  remarks: string[];
  times: TimeTold[];
}

const SMALL_BYTES_MAX = 1 << 20;

export async function checkSeen(
  files: ReadonlyMap<string, SourceFile>,
  { folder, origin, leaves }: { folder: string; origin: string; leaves: LeafList },
  trust: DossierTrust,
  hashing: Hashing,
): Promise<SeenCheck> {
  const found: SeenCheck = { findings: [], remarks: [], times: [] };
  const read = async (name: string) => {
    const file = files.get(folder + name);
    return file && (await readWhole(file, SMALL_BYTES_MAX));
  };
  const head = (name: string, bytes: Uint8Array): Checkpoint | undefined => {
    const path = folder + name;
    try {
      const checkpoint = parseCheckpoint(parseNote(new TextDecoder().decode(bytes)).text);
      if (checkpoint.origin === origin && isBeginning(checkpoint, leaves, hashing))
        return checkpoint;
      found.findings.push({
        place: 'checkpoint',
        path,
        log: origin,
        reason: `${path} is no head of the history that is here: one of them was changed`,
      });
    } catch (cause) {
      const detail = cause instanceof Error ? cause.message : String(cause);
      found.findings.push({
        place: 'checkpoint',
        path,
        reason: `${path} was changed: ${detail}`,
      });
    }
    return undefined;
  };
  const seen = await read(LOG_EXTRA_FILES.seen);
  const seenHead = seen && head(LOG_EXTRA_FILES.seen, seen);
  if (seen !== undefined && seenHead !== undefined) {
    const keys = (trust.witnessKeys ?? []).flatMap(witnessKeysBrought);
    for (const { key, atSeconds } of cosignaturesOn(new TextDecoder().decode(seen), keys)) {
      found.remarks.push(
        `the witness ${key.name} saw the first ${seenHead.size} entries of ${origin}${
          atSeconds === undefined ? '' : ` at ${new Date(atSeconds * 1000).toISOString()}`
        }; it does not answer for the later ones`,
      );
    }
  }
  const stamped = await read(LOG_EXTRA_FILES.stamped);
  const token = await read(LOG_EXTRA_FILES.token);
  if (stamped === undefined || token === undefined) return found;
  const stampedHead = head(LOG_EXTRA_FILES.stamped, stamped);
  if (stampedHead === undefined) return found;
  if (trust.checkTime === undefined) {
    found.remarks.push(
      `a time token over the first ${stampedHead.size} entries of ${origin} is here; the command mullion verify reads it`,
    );
    return found;
  }
  const told = await trust.checkTime(token, stamped);
  if (told.ok) {
    found.times.push({
      log: origin,
      entries: stampedHead.size,
      at: told.at.toISOString(),
      authority: told.authority,
      isChainChecked: told.isChainChecked,
    });
    return found;
  }
  // which authority a reader trusts says nothing of whether somebody changed the dossier
  const isTrust = told.fault === 'chain' || told.fault === 'purpose';
  const sentence = `the time token of ${origin} does not hold: ${told.reason}`;
  if (isTrust) found.remarks.push(sentence);
  else {
    found.findings.push({
      place: 'time-token',
      path: folder + LOG_EXTRA_FILES.token,
      log: origin,
      reason: sentence,
    });
  }
  return found;
}

/** Whether the head is that of the first entries of the log. */
function isBeginning(head: Checkpoint, leaves: LeafList, hashing: Hashing): boolean {
  if (head.size > leaves.size) return false;
  const frontier = new Frontier(treeHasher(hashing.sha256));
  for (let seq = 0; seq < head.size; seq++) frontier.append(leaves.at(seq)!.slice());
  return bytesEqual(frontier.root(), head.root);
}
