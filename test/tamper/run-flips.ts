/** Turns bits over one by one and asks for each whether the check found it, and where. */
import type { ArchiveFinding } from '#libs/archive';
import type { RandomStream } from '../bench/generator/random-stream.js';
import { dossierFlips } from './dossier-flips.js';
import type { FlipCount } from './flip-count.js';
import { FLIPS, rememberSubjects } from './flips.js';
import type { SampleArchive } from './sample-archive.js';

/** @param share how the flips are shared out: for each class its part of `count` */
export async function runFlips(
  archive: SampleArchive,
  count: number,
  random: RandomStream,
  onRow: (row: FlipCount) => void = () => undefined,
): Promise<FlipCount[]> {
  await rememberSubjects(archive);
  const rows: FlipCount[] = [];
  for (const [name, share] of Object.entries(SHARES)) {
    const tried = Math.max(1, Math.round(count * share));
    const stream = random.branch(name);
    const row = name.startsWith('dossier')
      ? await dossierFlips(archive, name, tried, stream)
      : await archiveFlips(archive, name, tried, stream);
    rows.push(row);
    onRow(row);
  }
  return rows;
}

const SHARES: Readonly<Record<string, number>> = {
  'object bytes': 0.14,
  'derived object bytes': 0.04,
  'entry bytes': 0.2,
  'entry columns': 0.14,
  'hashes of the tree': 0.12,
  checkpoints: 0.08,
  'copies of checkpoints': 0.04,
  'heads of logs': 0.03,
  'rows of objects': 0.03,
  'rows that people read': 0.04,
  'dossier, unpacked': 0.07,
  'dossier, zip file': 0.07,
};

async function archiveFlips(
  archive: SampleArchive,
  name: string,
  tried: number,
  random: RandomStream,
): Promise<FlipCount> {
  const row: FlipCount = { name, tried, detected: 0, located: 0, misses: [] };
  for (let n = 0; n < tried; n++) {
    const flip = await FLIPS[name]!(archive, random);
    try {
      const { result, findings } = await archive.check({
        fingerprint: archive.fingerprint,
        // slow, and only that class needs it
        withProjections: name === 'rows that people read',
      });
      const isLocated = findings.some((finding) => flip.isLocated(finding));
      if (result === 'altered') row.detected += 1;
      if (isLocated) row.located += 1;
      if (result !== 'altered' || !isLocated) row.misses.push(`${flip.what}: ${told(findings)}`);
    } finally {
      await flip.undo();
    }
  }
  return row;
}

function told(findings: readonly ArchiveFinding[]): string {
  return findings.length === 0
    ? 'nothing found'
    : findings
        .slice(0, 3)
        .map(({ what, place, log, seq, digest, reason }) =>
          [what, place, log, seq, digest, reason].filter((part) => part !== undefined).join(' '),
        )
        .join(' | ');
}

export function flipTable(rows: readonly FlipCount[]): string {
  const line = (name: string, ...cells: (string | number)[]) =>
    `${name.padEnd(24)}${cells.map((cell) => String(cell).padStart(10)).join('')}`;
  const sum = (of: (row: FlipCount) => number) => rows.reduce((all, row) => all + of(row), 0);
  return [
    line('one bit turned over in', 'tried', 'detected', 'located'),
    ...rows.map((row) => line(row.name, row.tried, row.detected, row.located)),
    line(
      'all',
      sum((row) => row.tried),
      sum((row) => row.detected),
      sum((row) => row.located),
    ),
  ].join('\n');
}
