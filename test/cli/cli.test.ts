/** The command as a person runs it: a process of its own, files, exit codes and sentences. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import type { RubbingResult, RubbingTruth } from '../bench/score/rubbing-result.js';
import { scoreRubbing } from '../bench/score/score-rubbing.js';
import { type ShardsResult, type ShardsTruth, scoreShards } from '../bench/score/score-shards.js';
import { sampleDossier } from '../conformance/sample-dossier.js';

const root = fileURLToPath(new URL('../../', import.meta.url));
const sample = join(root, 'fixtures/rubbings/medium');
const photo = join(sample, 'rubbing.jpg');
const read = (path: string): unknown => JSON.parse(readFileSync(path, 'utf8'));

let folder: string;
const inFolder = (name: string): string => join(folder, name);
const write = (name: string, value: unknown): string => {
  writeFileSync(inFolder(name), typeof value === 'string' ? value : JSON.stringify(value));
  return inFolder(name);
};

function mullion(...args: string[]) {
  const source = [
    '--import',
    join(root, 'test/run-source.mjs'),
    join(root, 'apps/cli/src/main.ts'),
  ];
  const run = spawnSync(process.execPath, [...source, ...args], { encoding: 'utf8', cwd: folder });
  return { status: run.status, out: run.stdout, err: run.stderr };
}

const input = read(join(sample, 'input.json')) as {
  images: { control: { kind: string; points: { name: string; mm: number[] }[] } }[];
};
const clicks = read(join(sample, 'clicks.json')) as Record<string, [number, number][]>;
const marks = { control: input.images[0]!.control, taps: clicks['rubbing.jpg']! };

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-cli-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('mullion rubbing', () => {
  it('writes the drawing in every form and reports it', () => {
    const run = mullion(
      'rubbing',
      photo,
      '--marks',
      write('marks.json', marks),
      '--out',
      inFolder('out'),
    );
    expect(run.err).not.toMatch(/Error/);
    expect(run.status).toBe(0);
    const net = read(inFolder('out/net.json')) as {
      format: string;
      pieces: { areaMm2: number }[];
      leads: unknown[];
    };
    expect(net.format).toBe('mullion-net/1');
    // fixtures/rubbings/medium/truth.json: 61 pieces; total area of its pieces below
    const truth = read(join(sample, 'truth.json')) as { pieces: { area_mm2: number }[] };
    expect(Math.abs(net.pieces.length - truth.pieces.length)).toBeLessThanOrEqual(3);
    const area = net.pieces.reduce((s, p) => s + p.areaMm2, 0);
    const trueArea = truth.pieces.reduce((s, p) => s + p.area_mm2, 0);
    expect(area / trueArea).toBeGreaterThan(0.99);
    expect(area / trueArea).toBeLessThan(1.01);
    expect(run.out).toMatch(new RegExp(`^pieces +${net.pieces.length}$`, 'm'));
    expect(run.out).toMatch(/^marks +rms \d+\.\d\d mm$/m);
    expect(run.out).toMatch(/^doubtful +\d+ leads/m);
    const head = (name: string): string =>
      readFileSync(inFolder(`out/${name}`))
        .subarray(0, 400)
        .toString('latin1');
    expect(head('net.svg')).toMatch(/<svg[^>]+width="[\d.]+mm"/);
    expect(head('net.dxf')).toMatch(/\r?\nSECTION\r?\n *2\r?\nHEADER/);
    expect(head('net.pdf')).toMatch(/^%PDF-1\.\d/);
    expect(
      readFileSync(inFolder('out/schedule.csv'), 'utf8').trim().split('\n').length,
    ).toBeGreaterThan(1);
  }, 300_000);

  it('says which marks are wrong when they lie on one line', () => {
    const points = marks.control.points.map((p, i) => ({ name: p.name, mm: [i * 100, i * 100] }));
    const taps = [
      [200, 200],
      [600, 600],
      [1000, 1000],
      [1400, 1400],
    ];
    const file = write('collinear.json', { control: { kind: 'control_points', points }, taps });
    const run = mullion('rubbing', photo, '--marks', file, '--out', inFolder('never'));
    expect(run.status).toBe(1);
    expect(run.err).toMatch(/line/);
  }, 120_000);

  it('refuses a file that is no picture, in a sentence', () => {
    const file = write('notes.jpg', 'the rubbing is at home');
    const run = mullion(
      'rubbing',
      file,
      '--marks',
      write('marks.json', marks),
      '--out',
      inFolder('never'),
    );
    expect(run.status).toBe(1);
    expect(run.err).toMatch(/notes\.jpg/);
    expect(run.err).not.toMatch(/\n +at /);
  }, 120_000);

  it('refuses marks without a tap for each', () => {
    const file = write('few.json', { ...marks, taps: marks.taps.slice(0, 3) });
    const run = mullion('rubbing', photo, '--marks', file, '--out', inFolder('never'));
    expect(run.status).toBe(1);
    expect(run.err).toMatch(/needs 4 taps.*has 3/);
  }, 120_000);

  it('refuses a picture that is not there', () => {
    const run = mullion(
      'rubbing',
      'nowhere.jpg',
      '--marks',
      write('marks.json', marks),
      '--out',
      inFolder('never'),
    );
    expect(run.status).toBe(1);
    expect(run.err).toMatch(/nowhere\.jpg/);
    expect(run.err).not.toMatch(/\n +at /);
  }, 120_000);

  it('asks for --marks with status 2 and shows the help', () => {
    const run = mullion('rubbing', photo, '--out', inFolder('never'));
    expect(run.status).toBe(2);
    expect(run.err).toMatch(/--marks/);
    expect(run.err).toMatch(/scale_bar/);
  }, 60_000);
});

describe('mullion net diff', () => {
  it('finds no difference between a drawing and itself, and names a moved lead', () => {
    const path = inFolder('out/net.json');
    expect(mullion('net', 'diff', path, path).status).toBe(0);
    const net = read(path) as { leads: { leadId: string; lineMm: [number, number][] }[] };
    const moved = structuredClone(net);
    const lead = moved.leads.find((e) => e.lineMm.length > 6)!;
    lead.lineMm = lead.lineMm.map((p, i) =>
      i === 0 || i === lead.lineMm.length - 1 ? p : [p[0] + 4, p[1] + 4],
    );
    const run = mullion('net', 'diff', path, write('moved.json', moved));
    expect(run.status).toBe(6);
    expect(run.out).toContain(`moved    ${lead.leadId} `);
  }, 120_000);

  it('refuses a file that is no drawing', () => {
    const run = mullion('net', 'diff', write('a.json', { format: 'something' }), 'b.json');
    expect(run.status).toBe(1);
    expect(run.err).toMatch(/a\.json/);
  }, 60_000);
});

describe('mullion verify', () => {
  it('has an exit code for each answer', async () => {
    const { zip, fingerprint } = await sampleDossier();
    writeFileSync(inFolder('dossier.zip'), zip);
    const known = mullion('verify', 'dossier.zip', '--fingerprint', fingerprint);
    expect(known.out).toMatch(/^Verified/);
    expect(known.status).toBe(0);
    const unknown = mullion('verify', 'dossier.zip');
    expect(unknown.out).toMatch(/^Consistent with itself, key not known to you/);
    expect(unknown.status).toBe(3);

    // the photograph's bytes are stored as they are: flip one bit in them
    const altered = Buffer.from(zip);
    const at = altered.indexOf('stands for the bytes of a photograph');
    expect(at).toBeGreaterThan(0);
    altered[at]! ^= 1;
    writeFileSync(inFolder('altered.zip'), altered);
    const changed = mullion('verify', 'altered.zip', '--fingerprint', fingerprint);
    expect(changed.out).toMatch(/objects\/photograph\.bin/);
    expect(changed.status).toBe(4);

    const other = await sampleDossier();
    const forged = mullion('verify', 'dossier.zip', '--fingerprint', other.fingerprint);
    expect(forged.status).toBe(4);

    writeFileSync(inFolder('cut.zip'), zip.subarray(0, 700));
    expect(mullion('verify', 'cut.zip').status).toBe(5);
    expect(mullion('verify', 'dossier.zip', '--fingerprint', 'abc').status).toBe(2);
  }, 120_000);
});

describe('mullion case', () => {
  it('writes the neutral result of a case, which the scorer can read', () => {
    const run = mullion('case', sample, inFolder('result.json'));
    expect(run.status).toBe(0);
    const { rubbing, seconds } = read(inFolder('result.json')) as {
      rubbing: RubbingResult;
      seconds: number;
    };
    expect(seconds).toBeGreaterThan(0);
    const score = scoreRubbing(read(join(sample, 'truth.json')) as RubbingTruth, rubbing);
    // the bar of this issue for the medium sample
    expect(score.piece_recall).toBeGreaterThanOrEqual(0.95);
  }, 300_000);

  it('places every shard of the bundled tray, each within 1.5 mm and 3° of the truth', () => {
    const folder = join(root, 'fixtures/shards');
    const run = mullion('case', folder, inFolder('shards.json'));
    expect(run.status).toBe(0);
    const { shards } = read(inFolder('shards.json')) as { shards: ShardsResult };
    const score = scoreShards(read(join(folder, 'truth.json')) as ShardsTruth, shards);
    expect(score).toMatchObject({ right: 12, shards: 12, wrong: [] });
    expect(score.meanPositionMm).toBeLessThan(0.7);
    expect(score.adjacencyF1).toBeGreaterThanOrEqual(0.95);
    // within 5 % of the shard that is lost, 805.96 mm²
    expect(Math.abs(score.missingAreaErrorMm2!)).toBeLessThan(40);
  }, 120_000);

  it('refuses other tasks by name', () => {
    const run = mullion('case', join(root, 'fixtures/raking'), inFolder('never.json'));
    expect(run.status).toBe(7);
    expect(run.err).toMatch(/normals/);
  }, 60_000);
});

describe('mullion', () => {
  it('lists its commands, and answers an unknown one with status 2', () => {
    const help = mullion('--help');
    expect(help.status).toBe(0);
    for (const name of ['rubbing', 'verify', 'net diff', 'case'])
      expect(help.out).toContain(`mullion ${name}`);
    const unknown = mullion('polish');
    expect(unknown.status).toBe(2);
    expect(unknown.err).toMatch(/no command "polish"/);
  }, 60_000);
});
