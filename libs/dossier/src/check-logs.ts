/** The logs of a dossier: each against its checkpoint, and their references among one another. */

import {
  chainEpochs,
  type Entry,
  epochLogsOf,
  type LeafList,
  LogCheck,
  type LogFault,
  type LogVerdict,
  parseLeafList,
  resultInChain,
  trustAmong,
} from '#libs/ledger';
import { LEDGER_DIR, LOG_FILES } from './bag-layout.js';
import { checkReferences, type Reference } from './check-references.js';
import { checkSeen } from './check-seen.js';
import type { Hashing } from './digests.js';
import { linesOf } from './lines.js';
import { provenLeaves } from './references.js';
import type { CheckedLog, DossierFinding, DossierTrust, TimeTold } from './report.js';
import type { RoleHeld } from './roles-held.js';
import { archiveOf } from './seal.js';
import { readWhole, type SourceFile } from './source.js';

/** An object named by an entry, and where. */
export interface NamedObject {
  digest: string;
  role: string;
  log: string;
  seq: number;
}

export interface LogsCheck {
  logs: CheckedLog[];
  verdicts: LogVerdict[];
  findings: DossierFinding[];
  remarks: string[];
  times: TimeTold[];
  /** each object once, with the first entry that names it */
  named: Map<string, NamedObject>;
  references: { all: number; proven: number };
  roles: RoleHeld[];
}

/** The key that sealed the dossier: it signs the archive's own logs. */
export interface SealedBy {
  /** name of the archive; logs of others are foreign */
  archive: string;
  publicKey: Uint8Array;
}

/** A leaf hash is 65 bytes of text: this allows four million entries. */
const LEAVES_BYTES_MAX = 1 << 28;
const SMALL_BYTES_MAX = 1 << 20;

/** @param seal undefined when the seal cannot be read: every log is foreign then */
export async function checkLogs(
  files: ReadonlyMap<string, SourceFile>,
  seal: SealedBy | undefined,
  trust: DossierTrust,
  hashing: Hashing,
): Promise<LogsCheck> {
  const archive = seal?.archive;
  const result: LogsCheck = {
    logs: [],
    verdicts: [],
    findings: [],
    remarks: [],
    times: [],
    named: new Map(),
    references: { all: 0, proven: 0 },
    roles: [],
  };
  const folders = logFolders(files);
  const origins = await Promise.all(folders.map((folder) => originIn(files, folder)));
  const leavesByOrigin = new Map<string, LeafList>();
  const references: Reference[] = [];
  for (const [at, folder] of folders.entries()) {
    const { verdict, leaves, refs } = await checkLog(
      files,
      folder,
      archive,
      trustAmong(trust, origins[at]!, origins),
      hashing,
      result,
    );
    const origin = verdict?.checkpoint?.origin;
    if (origin === undefined) continue;
    if (leavesByOrigin.has(origin)) {
      result.findings.push({
        place: 'checkpoint',
        path: folder,
        log: origin,
        reason: `the log ${origin} is there twice`,
      });
    }
    if (leaves !== undefined) leavesByOrigin.set(origin, leaves);
    references.push(...refs);
  }
  chainLogs(result);
  const leaves = await provenLeaves(files, archive, seal?.publicKey, hashing.sha256);
  const checked = checkReferences(references, leavesByOrigin, leaves.proven);
  result.findings.push(...leaves.findings, ...checked.findings);
  result.remarks.push(...checked.remarks);
  result.references = checked.counts;
  result.roles = checked.roles;
  return result;
}

/** The epochs of each history against one another; a closed log gets the result of the one that names it. */
function chainLogs(result: LogsCheck): void {
  const chain = chainEpochs(epochLogsOf(result.verdicts));
  const byItself = new Map(result.logs.map((log) => [log.origin, log.result]));
  for (const log of result.logs) {
    log.isClosed = chain.vouchedBy.has(log.origin);
    log.result = resultInChain(log.origin, chain, (origin) => byItself.get(origin));
  }
  for (const { origin, seq, reason } of chain.faults) {
    result.findings.push({
      place: 'epoch',
      log: origin,
      ...(seq !== undefined && { seq }),
      reason: `${origin}: ${reason}`,
    });
  }
  result.remarks.push(...chain.notices.map(({ origin, reason }) => `${origin}: ${reason}`));
}

/** First line of a log's checkpoint; empty where there is none. */
async function originIn(files: ReadonlyMap<string, SourceFile>, folder: string): Promise<string> {
  const file = files.get(folder + LOG_FILES.checkpoint);
  return file === undefined ? '' : (await textOf(file, SMALL_BYTES_MAX)).split('\n')[0]!;
}

function logFolders(files: ReadonlyMap<string, SourceFile>): string[] {
  const folders = new Set<string>();
  for (const path of files.keys()) {
    const found = /^data\/ledger\/[^/]+\//.exec(path);
    if (found !== null) folders.add(found[0]);
  }
  return [...folders].sort();
}

async function checkLog(
  files: ReadonlyMap<string, SourceFile>,
  folder: string,
  archive: string | undefined,
  trust: DossierTrust,
  hashing: Hashing,
  result: LogsCheck,
): Promise<{ verdict?: LogVerdict; leaves?: LeafList; refs: Reference[] }> {
  const refs: Reference[] = [];
  const parts = Object.values(LOG_FILES).map((name) => files.get(folder + name));
  const missing = Object.values(LOG_FILES).filter((_, at) => parts[at] === undefined);
  const [entries, leavesFile, checkpointFile, keyFile] = parts;
  if (
    entries === undefined ||
    leavesFile === undefined ||
    checkpointFile === undefined ||
    keyFile === undefined
  ) {
    for (const name of missing) {
      result.findings.push({
        place: 'file',
        path: folder + name,
        reason: `${folder}${name} is missing`,
      });
    }
    return { refs };
  }
  const note = await textOf(checkpointFile, SMALL_BYTES_MAX);
  const key = (await textOf(keyFile, SMALL_BYTES_MAX)).replace(/\n$/, '');
  let leaves: LeafList;
  try {
    leaves = parseLeafList(await textOf(leavesFile, LEAVES_BYTES_MAX));
  } catch (cause) {
    const detail = cause instanceof Error ? cause.message : String(cause);
    const path = folder + LOG_FILES.leaves;
    result.findings.push({ place: 'leaf-list', path, reason: `${path} was changed: ${detail}` });
    return { refs };
  }
  const isForeign = archive === undefined || archiveOf(note.split('\n')[0]!) !== archive;
  const check = new LogCheck(note, {
    key,
    leaves,
    hash: hashing.sha256,
    ...(!isForeign && trust.fingerprint !== undefined && { fingerprint: trust.fingerprint }),
    ...(trust.witnessKeys !== undefined && { witnessKeys: trust.witnessKeys }),
  });
  const origin = note.split('\n')[0]!;
  for await (const line of linesOf(entries.open())) {
    const entry = check.add(line);
    if (entry !== undefined) collect(entry, origin, refs, result.named);
  }
  const verdict = check.finish();
  const seen = await checkSeen(files, { folder, origin, leaves }, trust, hashing);
  result.verdicts.push(verdict);
  result.findings.push(...verdict.faults.map((fault) => findingOf(fault, folder, origin)));
  result.findings.push(...seen.findings);
  result.remarks.push(...seen.remarks);
  result.times.push(...seen.times);
  result.logs.push({
    origin,
    folder,
    size: verdict.checkpoint?.size ?? 0,
    entries: verdict.entries,
    withheld: verdict.withheld,
    result: verdict.result,
    ...(verdict.keyFingerprint !== undefined && { keyFingerprint: verdict.keyFingerprint }),
    isForeign,
    isClosed: false,
  });
  return { verdict, leaves, refs };
}

function collect(
  entry: Entry,
  log: string,
  refs: Reference[],
  named: Map<string, NamedObject>,
): void {
  for (const { digest, role } of entry.objects) {
    if (!named.has(digest)) named.set(digest, { digest, role, log, seq: entry.seq });
  }
  const { seq, actorId } = entry;
  for (const ref of entry.refs) refs.push({ log, seq, actorId, ...ref });
}

const PLACE_FILES = {
  entry: LOG_FILES.entries,
  checkpoint: LOG_FILES.checkpoint,
  key: LOG_FILES.key,
  'leaf-list': LOG_FILES.leaves,
} as const;

function findingOf(fault: LogFault, folder: string, log: string): DossierFinding {
  const path = folder + PLACE_FILES[fault.place];
  return {
    place: fault.place,
    path,
    log,
    ...(fault.seq !== undefined && { seq: fault.seq }),
    reason: `${folder.slice(LEDGER_DIR.length, -1)}: ${fault.reason}`,
  };
}

/** Broken UTF-8 becomes U+FFFD, which no key, note or leaf list holds: the check then names the file. */
async function textOf(file: SourceFile, mostBytes: number): Promise<string> {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(await readWhole(file, mostBytes));
}
