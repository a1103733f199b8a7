/** `mullion verify` on a history that `mullion admin export-log` wrote. */
import { readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { nodeSha256 } from '#libs/dossier';
import {
  chainEpochs,
  checkExport,
  type ExportTrust,
  type ExportVerdict,
  epochLogsOf,
  hexOf,
  type LogResult,
  resultInChain,
  trustAmong,
} from '#libs/ledger';
import type { Output } from './command.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { UsageError } from './refusal.js';

const EXIT_OF: Record<LogResult, ExitCode> = {
  'verified-against-fingerprint': EXIT.ok,
  'consistent-key-unknown': EXIT.consistentKeyUnknown,
  altered: EXIT.altered,
};

const SENTENCES: Record<LogResult, string> = {
  'verified-against-fingerprint':
    'Verified: unaltered, by the fingerprint or witness that you gave.',
  'consistent-key-unknown':
    'Consistent with itself, key not known to you: compare the fingerprint with one that you trust.',
  altered: 'Altered: every finding is named.',
};

/** Folders of logs: the folder itself, or those in it; none when it is no export. */
export async function exportedLogs(path: string): Promise<string[]> {
  if (await isLog(path)) return [path];
  const names = await readdir(path).catch(() => []);
  const folders: string[] = [];
  for (const name of names.sort()) {
    if (await isLog(join(path, name))) folders.push(join(path, name));
  }
  return folders;
}

async function isLog(folder: string): Promise<boolean> {
  const parts = await Promise.all(
    ['checkpoint', 'tile'].map((name) =>
      stat(join(folder, name)).then(
        () => true,
        () => false,
      ),
    ),
  );
  return parts.every(Boolean);
}

export async function verifyExport(
  folders: readonly string[],
  trust: ExportTrust,
  output: Output,
): Promise<ExitCode> {
  const verdicts: ExportVerdict[] = [];
  const origins = await Promise.all(folders.map(originIn));
  for (const [at, folder] of folders.entries()) {
    verdicts.push(await verdictOf(folder, trustAmong(trust, origins[at]!, origins)));
  }
  const lost = wrongReferences(verdicts);
  const chain = chainEpochs(epochLogsOf(verdicts));
  const resultOf = (origin: string) =>
    verdicts.find(({ checkpoint }) => checkpoint?.origin === origin)?.result;
  const results = verdicts.map(({ checkpoint, result }) =>
    checkpoint === undefined ? result : resultInChain(checkpoint.origin, chain, resultOf),
  );
  const result: LogResult =
    lost.length > 0 || results.includes('altered')
      ? 'altered'
      : results.includes('consistent-key-unknown')
        ? 'consistent-key-unknown'
        : 'verified-against-fingerprint';
  output.say(SENTENCES[result]);
  for (const { checkpoint, faults, notices } of verdicts) {
    for (const { place, reason } of faults) {
      output.say(`  ${place} ${checkpoint?.origin ?? ''}: ${reason}`);
    }
    for (const notice of notices) output.say(`  note: ${checkpoint?.origin ?? ''}: ${notice}`);
  }
  for (const { origin, reason } of chain.faults) output.say(`  epoch ${origin}: ${reason}`);
  for (const { origin, reason } of chain.notices) output.say(`  loss: ${origin}: ${reason}`);
  for (const line of lost) output.say(`  reference ${line}`);
  for (const { checkpoint, checkpoints, refs, keyFingerprint } of verdicts) {
    output.say(
      `history   ${checkpoint?.origin ?? 'unreadable'}: ${checkpoint?.size ?? 0} entries, ${checkpoints} checkpoints, ${refs.length} references`,
    );
    if (keyFingerprint !== undefined) output.say(`signed by ${keyFingerprint}`);
  }
  return EXIT_OF[result];
}

/** First line of a log's checkpoint; empty where it cannot be read, which its check tells. */
async function originIn(folder: string): Promise<string> {
  const note = await readFile(join(folder, 'checkpoint'), 'utf8').catch(() => '');
  return note.split('\n')[0]!;
}

async function verdictOf(folder: string, trust: ExportTrust): Promise<ExportVerdict> {
  const sizes = (await readdir(join(folder, 'checkpoints')).catch(() => []))
    .map(Number)
    .sort((a, b) => a - b);
  try {
    return await checkExport(
      {
        checkpointSizes: sizes,
        proofNames: await readdir(join(folder, 'proofs')).catch(() => []),
        read: (path) => readFile(join(folder, path)).catch(() => undefined),
      },
      { ...trust, hash: nodeSha256 },
    );
  } catch (cause) {
    throw new UsageError(cause instanceof Error ? cause.message : String(cause));
  }
}

/** References to another log of the export that has another entry there. */
function wrongReferences(verdicts: readonly ExportVerdict[]): string[] {
  const byOrigin = new Map(verdicts.map((one) => [one.checkpoint?.origin, one]));
  return verdicts.flatMap(({ checkpoint, refs }) =>
    refs.flatMap(({ seq, origin, index, leafHash }) => {
      const leaf = byOrigin.get(origin)?.leafAt(index);
      if (leaf === undefined || hexOf(leaf) === leafHash) return [];
      return `${checkpoint?.origin ?? ''}: entry ${seq} refers to another entry ${index} of ${origin} than the one that is here`;
    }),
  );
}
