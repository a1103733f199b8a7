/** One bit turned over in a dossier: in a file of the unpacked bag, or anywhere in the zip file. */

import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { verifyDossier } from '#libs/dossier';
import type { RandomStream } from '../bench/generator/random-stream.js';
import type { FlipCount } from './flip-count.js';
import type { SampleArchive } from './sample-archive.js';

export async function dossierFlips(
  archive: SampleArchive,
  name: string,
  tried: number,
  random: RandomStream,
): Promise<FlipCount> {
  const folder = mkdtempSync(join(tmpdir(), 'tamper-'));
  try {
    const zip = join(folder, 'dossier.zip');
    writeFileSync(zip, archive.dossier);
    const row: FlipCount = { name, tried, detected: 0, located: 0, misses: [] };
    const isZip = name.endsWith('zip file');
    const bag = isZip ? zip : unpacked(zip, join(folder, 'bag'));
    const files = isZip ? [zip] : filesOf(bag);
    const members = isZip ? zipMembers(zip) : [];
    for (let n = 0; n < tried; n++) {
      const path = random.pick(files);
      const bytes = readFileSync(path);
      if (bytes.length === 0) continue;
      const at = random.whole(0, bytes.length - 1);
      const changed = Buffer.from(bytes);
      changed[at]! ^= 1 << random.whole(0, 7);
      writeFileSync(path, changed);
      const report = await verifyDossier(bag, { fingerprint: archive.fingerprint });
      writeFileSync(path, bytes);
      const member = memberAt(members, at);
      const wanted = isZip ? member?.name : path.slice(bag.length + 1);
      const told = [
        ...report.findings.map(({ path: place, reason }) => `${place ?? ''} ${reason}`),
        ...report.remarks.filter((remark) => remark.startsWith('the zip file')),
      ].join('\n');
      const isDetected = report.verdict !== 'verified-against-fingerprint' || told !== '';
      // the directory of a zip file belongs to the container as a whole
      const isLocated =
        (wanted !== undefined && told.includes(wanted.split('/').at(-1)!)) ||
        (isZip && member?.isContent !== true && /\bzip\b/.test(told));
      if (isDetected) row.detected += 1;
      if (isLocated) row.located += 1;
      if (!isDetected || !isLocated)
        row.misses.push(`${wanted ?? 'container'} byte ${at}: ${told}`);
    }
    return row;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Unpacked by Python's own zipfile. @returns the bag's folder */
function unpacked(zip: string, into: string): string {
  const run = spawnSync('python3', ['-m', 'zipfile', '-e', zip, into], { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(run.stderr);
  return join(into, readdirSync(into)[0]!);
}

function filesOf(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .map((name) => join(folder, name))
    .filter((path) => statSync(path).isFile())
    .sort();
}

interface Member {
  name: string;
  /** bytes of its header and content, and of its line in the directory */
  spans: [number, number][];
}

/** Where each member lies, by Python's own zipfile: header and content, and its entry in the directory. */
function zipMembers(zip: string): Member[] {
  const run = spawnSync('python3', ['-c', WHERE, zip], { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(run.stderr);
  return JSON.parse(run.stdout) as Member[];
}

const WHERE = `
import json, sys, zipfile
archive = zipfile.ZipFile(sys.argv[1])
members = archive.infolist()
ends = [m.header_offset for m in members[1:]] + [archive.start_dir]
at = archive.start_dir
found = []
for member, end in zip(members, ends):
    size = 46 + len(member.filename.encode()) + len(member.extra) + len(member.comment)
    found.append({"name": member.filename, "spans": [[member.header_offset, end], [at, at + size]]})
    at += size
print(json.dumps(found))
`;

/** The member that a byte belongs to; `isContent` unless it stands in the directory. */
function memberAt(
  members: readonly Member[],
  at: number,
): { name: string; isContent: boolean } | undefined {
  for (const { name, spans } of members) {
    const span = spans.findIndex(([from, to]) => at >= from && at < to);
    if (span >= 0) return { name, isContent: span === 0 };
  }
  return undefined;
}
