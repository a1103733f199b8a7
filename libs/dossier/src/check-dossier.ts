/**
 * The whole check of a dossier, in Node and in a browser alike: container, manifests, seal, logs,
 * objects. It reports what it finds and never trusts what it has not checked; it throws only for
 * what the reader brought (a mistyped fingerprint).
 */

import {
  fingerprintOf,
  type OpenedNote,
  openNote,
  parseVerifierKey,
  readFingerprint,
  type VerifierKey,
  witnessKeysBrought,
} from '#libs/ledger';
import { type Bag, findBag } from './bag.js';
import { ALGORITHMS, DOSSIER_VERSION, OBJECTS_JSON, parseBagInfo, SEAL_TXT } from './bag-layout.js';
import { checkBag } from './check-bag.js';
import { checkLogs, type LogsCheck } from './check-logs.js';
import type { FileDigests, Hashing } from './digests.js';
import { parseObjectList } from './object-list.js';
import type { DossierFinding, DossierReport, DossierTrust } from './report.js';
import { archiveOf, parseSeal, type Seal } from './seal.js';
import { type DossierSource, digestFile, readWhole } from './source.js';

export interface CheckProgress {
  doneBytes: number;
  totalBytes: number;
}

const TAG_BYTES_MAX = 1 << 28;

export class TrustError extends Error {
  override readonly name = 'TrustError';
}

/** @throws TrustError when the fingerprint or a witness key that the reader brought is mistyped */
export async function checkDossier(
  source: DossierSource,
  trust: DossierTrust,
  hashing: Hashing,
  onProgress: (progress: CheckProgress) => void = () => undefined,
): Promise<DossierReport> {
  const brought = trustBrought(trust, hashing);
  const bag = findBag(source);
  if (bag === undefined)
    return unreadable('no bagit.txt at its top: this is no dossier, or it is cut off');
  const report: DossierReport = {
    verdict: 'altered',
    findings: [...bag.findings],
    remarks: [...(source.remarks ?? [])],
    keyRemarks: [],
    logs: [],
    times: [],
    files: bag.files.size,
    bytes: 0,
    objects: { present: 0, listedOnly: 0, withdrawn: 0 },
    references: { all: 0, proven: 0 },
    roles: [],
  };
  const digests = await digestAll(bag, hashing, report, onProgress);
  const texts = await tagTexts(bag, digests);
  const info = parseBagInfo(texts.get('bag-info.txt') ?? '');
  if (info === undefined) {
    report.findings.push({
      place: 'bag',
      path: 'bag-info.txt',
      reason: 'bag-info.txt is missing or was changed',
    });
  }
  const version = info?.get('Mullion-Dossier-Version');
  report.findings.push(...checkBag({ text: (path) => texts.get(path), digests, info }));
  if (version !== String(DOSSIER_VERSION) && report.findings.length === 0) {
    return unreadable(
      version === undefined
        ? 'a bag, but no dossier: bag-info.txt names no Mullion-Dossier-Version'
        : `a dossier of version ${version}; this program reads version ${DOSSIER_VERSION}`,
    );
  }
  const sealKey = checkSeal(texts, digests, info?.get('Mullion-Archive-Key'), report);
  if (sealKey !== undefined && info !== undefined) {
    report.about = {
      kind: info.get('Mullion-Dossier-Kind') === 'keepers' ? 'keepers' : 'handed-out',
      subject: info.get('External-Identifier') ?? '',
      fingerprint: fingerprintOf(sealKey.publicKey, hashing.sha256),
      baggingDate: info.get('Bagging-Date') ?? '',
      agent: info.get('Bag-Software-Agent') ?? '',
    };
  }
  const seal = sealKey && { archive: archiveOf(sealKey.name), publicKey: sealKey.publicKey };
  const logs = await guarded(report, () => checkLogs(bag.files, seal, brought, hashing));
  if (logs !== undefined) {
    report.logs = logs.logs;
    report.times = logs.times;
    report.references = logs.references;
    report.roles = logs.roles;
    report.findings.push(...logs.findings);
    report.remarks.push(...logs.remarks);
    report.keyRemarks = keyRemarks(logs);
    checkKeys(logs, report);
    await checkObjects(bag, logs, digests, report);
  }
  conclude(report, brought, logs);
  return report;
}

function trustBrought(trust: DossierTrust, hashing: Hashing): DossierTrust {
  for (const text of trust.witnessKeys ?? []) {
    try {
      witnessKeysBrought(text);
    } catch (cause) {
      throw new TrustError(messageOf(cause));
    }
  }
  if (trust.fingerprint === undefined) return trust;
  const reading = readFingerprint(trust.fingerprint, hashing.sha256);
  if (!reading.ok) throw new TrustError(reading.reason);
  return { ...trust, fingerprint: reading.fingerprint };
}

async function digestAll(
  bag: Bag,
  hashing: Hashing,
  report: DossierReport,
  onProgress: (progress: CheckProgress) => void,
): Promise<Map<string, FileDigests>> {
  const digests = new Map<string, FileDigests>();
  const totalBytes = [...bag.files.values()].reduce((sum, file) => sum + file.sizeBytes, 0);
  for (const [path, file] of bag.files) {
    try {
      const found = await digestFile(file, hashing);
      if (file.crc32 !== undefined && file.crc32 !== found.crc32) {
        report.findings.push({
          place: 'file',
          path,
          reason: `${path} was changed: its check sum in the zip file does not fit`,
        });
      }
      digests.set(path, found);
      report.bytes += found.sizeBytes;
    } catch (cause) {
      report.findings.push({
        place: 'file',
        path,
        reason: `${path} cannot be read: ${messageOf(cause)}`,
      });
    }
    onProgress({ doneBytes: report.bytes, totalBytes });
  }
  return digests;
}

/** Tag files as text; payload is never read whole here. */
async function tagTexts(
  bag: Bag,
  digests: ReadonlyMap<string, FileDigests>,
): Promise<Map<string, string>> {
  const texts = new Map<string, string>();
  for (const [path, file] of bag.files) {
    if (path.startsWith('data/') || !digests.has(path) || file.sizeBytes > TAG_BYTES_MAX) continue;
    const bytes = await readWhole(file, TAG_BYTES_MAX);
    texts.set(path, new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes));
  }
  return texts;
}

/** @returns the key that sealed the dossier, when the seal itself holds */
function checkSeal(
  texts: ReadonlyMap<string, string>,
  digests: ReadonlyMap<string, FileDigests>,
  keyText: string | undefined,
  report: DossierReport,
): VerifierKey | undefined {
  const opened = openSeal(texts.get(SEAL_TXT), parseVerifierKey(keyText ?? ''));
  if ('reason' in opened) {
    report.findings.push({ place: 'seal', path: SEAL_TXT, reason: opened.reason });
    return undefined;
  }
  for (const algorithm of ALGORITHMS) {
    const name = `tagmanifest-${algorithm}.txt`;
    if (digests.get(name)?.[algorithm] === opened.seal.tagManifests[algorithm]) continue;
    report.findings.push({
      place: 'seal',
      path: SEAL_TXT,
      reason: `the seal does not fit ${name}: files were changed, added or removed after it was sealed`,
    });
  }
  return opened.key;
}

function openSeal(
  note: string | undefined,
  key: VerifierKey | undefined,
): { seal: Seal; key: VerifierKey } | { reason: string } {
  if (note === undefined) {
    return { reason: `${SEAL_TXT} is missing: nothing signs the records and drawings` };
  }
  if (key === undefined) {
    return { reason: 'bag-info.txt names no readable Mullion-Archive-Key for the seal' };
  }
  let opened: OpenedNote;
  try {
    opened = openNote(note, [key]);
  } catch (cause) {
    return { reason: `${SEAL_TXT} was changed: ${messageOf(cause)}` };
  }
  if (opened.failed.length > 0) {
    return { reason: `${SEAL_TXT} was changed: its signature does not hold` };
  }
  if (opened.verified.length === 0) {
    return { reason: `${SEAL_TXT} is not signed by the key in bag-info.txt` };
  }
  const seal = parseSeal(opened.text);
  return seal === undefined
    ? { reason: `${SEAL_TXT} is signed, but is no seal of a dossier` }
    : { seal, key };
}

/** This archive's logs are signed by the key that sealed the dossier; another's stand for themselves. */
function checkKeys(logs: LogsCheck, report: DossierReport): void {
  if (logs.logs.length === 0) {
    report.findings.push({
      place: 'bag',
      path: 'data/ledger/',
      reason: 'there is no log in data/ledger',
    });
  }
  for (const log of logs.logs) {
    if (log.isForeign) {
      report.remarks.push(
        `${log.origin} is another archive's log, key ${log.keyFingerprint ?? 'unreadable'}`,
      );
    } else if (
      report.about !== undefined &&
      !log.isClosed &&
      log.keyFingerprint !== report.about.fingerprint
    ) {
      report.findings.push({
        place: 'key',
        path: `${log.folder}key.txt`,
        log: log.origin,
        reason: `the log ${log.origin} is signed by another key than the dossier`,
      });
    }
  }
  if (logs.logs.length > 0 && logs.logs.every((log) => log.isForeign)) {
    report.findings.push({
      place: 'bag',
      path: 'data/ledger/',
      reason: 'no log belongs to the archive that sealed this',
    });
  }
}

async function checkObjects(
  bag: Bag,
  logs: LogsCheck,
  digests: ReadonlyMap<string, FileDigests>,
  report: DossierReport,
): Promise<void> {
  const file = bag.files.get(OBJECTS_JSON);
  const fault = (finding: Omit<DossierFinding, 'place'>) =>
    report.findings.push({ place: 'object', ...finding });
  if (file === undefined) {
    fault({ path: OBJECTS_JSON, reason: `${OBJECTS_JSON} is missing` });
    return;
  }
  const bytes = await guarded(report, () => readWhole(file, TAG_BYTES_MAX));
  if (bytes === undefined) return;
  const list = parseObjectList(new TextDecoder().decode(bytes));
  if (typeof list === 'string') {
    fault({ path: OBJECTS_JSON, reason: `${OBJECTS_JSON} was changed: ${list}` });
    return;
  }
  for (const { digest, state, path } of list) {
    if (state === 'listed-only') report.objects.listedOnly += 1;
    if (state === 'withdrawn') report.objects.withdrawn += 1;
    if (state !== 'present' || path === undefined) continue;
    report.objects.present += 1;
    const found = digests.get(path);
    if (found === undefined) {
      fault({ path, reason: `${path} is missing, ${OBJECTS_JSON} says it is here` });
    } else if (`sha256:${found.sha256}` !== digest) {
      fault({ path, reason: `${path} was changed: it is not the object ${digest}` });
    }
  }
  const listed = new Set(list.map((object) => object.digest));
  for (const { digest, log, seq } of logs.named.values()) {
    if (!listed.has(digest)) {
      fault({
        log,
        seq,
        reason: `entry ${seq} of ${log} names the object ${digest}, which ${OBJECTS_JSON} does not list`,
      });
    }
  }
}

/** Each change once; with the log's name where logs tell of changes at entries of their own. */
function keyRemarks({ logs, verdicts }: LogsCheck): string[] {
  const own = logs.filter((log) => !log.isForeign);
  return logs.flatMap(({ origin, isForeign }, at) =>
    isForeign
      ? []
      : verdicts[at]!.notices.map((notice) => (own.length > 1 ? `${origin}: ${notice}` : notice)),
  );
}

/**
 * What the archive's logs say of a fingerprint that is not the seal's: every change since is vouched
 * for, one is not, or it never was their key.
 */
function earlierKey(sealed: string, logs: LogsCheck | undefined): 'vouched' | 'broken' | 'unknown' {
  const own = (logs?.logs ?? []).filter(
    ({ isForeign, isClosed, keyFingerprint }) =>
      !isForeign && !isClosed && keyFingerprint === sealed,
  );
  if (own.length === 0 || own.some(({ result }) => result === 'altered')) return 'unknown';
  return own.every(({ result }) => result === 'verified-against-fingerprint')
    ? 'vouched'
    : 'broken';
}

function conclude(report: DossierReport, brought: DossierTrust, logs: LogsCheck | undefined): void {
  const sealed = report.about?.fingerprint;
  const isEarlier =
    brought.fingerprint !== undefined && sealed !== undefined && sealed !== brought.fingerprint;
  const earlier = isEarlier ? earlierKey(sealed, logs) : 'vouched';
  if (earlier === 'unknown') {
    report.findings.unshift({
      place: 'key',
      path: SEAL_TXT,
      reason: `the key does not match the fingerprint: this was signed by ${sealed ?? 'nobody known'}, you gave ${brought.fingerprint ?? 'none'}`,
    });
  }
  if (report.findings.length > 0 || sealed === undefined) {
    report.verdict = 'altered';
    return;
  }
  if (brought.fingerprint !== undefined) {
    if (earlier === 'vouched') {
      report.anchor = { kind: 'fingerprint', fingerprint: brought.fingerprint };
    }
  } else {
    const own = logs?.verdicts.find(
      (verdict) => verdict.keyFingerprint === sealed && verdict.anchor !== undefined,
    );
    // A witness answers for the entries. Only where they name the key that sealed the rest does it
    // answer for records and drawings too: anybody can put a key of their own beside its cosignature.
    if (own?.anchor?.kind === 'witness' && !own.isKeyInHistory) {
      report.remarks.push(
        `${own.anchor.name} saw this history, but no entry given here names the key that sealed records and drawings: compare the fingerprint`,
      );
    } else if (own?.anchor !== undefined) report.anchor = own.anchor;
  }
  report.verdict =
    report.anchor === undefined ? 'consistent-key-unknown' : 'verified-against-fingerprint';
}

async function guarded<T>(report: DossierReport, run: () => Promise<T>): Promise<T | undefined> {
  try {
    return await run();
  } catch (cause) {
    report.findings.push({
      place: 'container',
      reason: `the dossier cannot be read to its end: ${messageOf(cause)}`,
    });
    return undefined;
  }
}

export function unreadable(reason: string): DossierReport {
  return {
    verdict: 'unreadable',
    findings: [{ place: 'container', reason }],
    remarks: [],
    keyRemarks: [],
    logs: [],
    times: [],
    files: 0,
    bytes: 0,
    objects: { present: 0, listedOnly: 0, withdrawn: 0 },
    references: { all: 0, proven: 0 },
    roles: [],
  };
}

function messageOf(cause: unknown): string {
  return cause instanceof Error ? cause.message : String(cause);
}
