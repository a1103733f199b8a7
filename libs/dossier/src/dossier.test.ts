import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { PassThrough } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { fileURLToPath } from 'node:url';
import { Script } from 'node:vm';
import { jest } from '@jest/globals';
import fc from 'fast-check';
import sharp from 'sharp';
import * as yauzl from 'yauzl';
import * as yazl from 'yazl';
import {
  announcedKey,
  COSIGNATURE_TYPE,
  cosignNote,
  type Entry,
  type EntryRef,
  entryBytes,
  Frontier,
  fingerprintOf,
  formatVerifierKey,
  inclusionProof,
  leafHash,
  originLine,
  parseEntry,
  publicKeyOf,
  shortFingerprint,
  signCheckpoint,
  signEd25519,
  signNote,
  verifierKey,
} from '#libs/ledger';
import { checkDossier } from './check-dossier.js';
import { pureHashing } from './digests.js';
import { DossierError } from './dossier-error.js';
import type { DossierReport, DossierTrust } from './report.js';
import { verdictSentence } from './report.js';
import { zipSource } from './source.js';
import { verifyDossier } from './verify-dossier.js';
import { blobAccess } from './verify-page/picked.js';
import { type DossierInput, dossierBytes, writeDossier } from './write-dossier.js';
import { readZipDirectory, readZipMember } from './zip-reader.js';
import { ZipLayout } from './zip-writer.js';

// Many runs of a property, perhaps beside other suites on the same cores.
jest.setTimeout(120_000);

const ARCHIVE = 'mullion/5f0c2a9e-demo';
const ORIGIN = originLine({ archiveId: '5f0c2a9e-demo', log: { site: 'slm' } });
const SEED = new Uint8Array(32).fill(7);
const FORGER = new Uint8Array(32).fill(8);
const FINGERPRINT = fingerprintOf(publicKeyOf(SEED));
const BAG = 'slm.w1.2b-handed-out';
const PHOTO = utf8('not really a photograph');
const NET = utf8('{"pieces":[]}');
const WITHHELD = 3;
const SIZE = 12;

let folder: string;
let sample: Uint8Array;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dossier-'));
  sample = await zipOf(await input());
});

afterAll(async () => {
  await rm(folder, { recursive: true });
});

describe('a dossier', () => {
  it('is consistent with itself, and verified against the fingerprint that the reader brings', async () => {
    expect(await verify(sample)).toMatchObject({
      verdict: 'consistent-key-unknown',
      findings: [],
      about: { kind: 'handed-out', subject: 'SLM.wI.2b', fingerprint: FINGERPRINT },
      logs: [{ origin: ORIGIN, size: SIZE, entries: SIZE - 1, withheld: 1, isForeign: false }],
      objects: { present: 1, listedOnly: 1, withdrawn: 1 },
    });
    const verified = await verify(sample, { fingerprint: FINGERPRINT.toLowerCase() });
    expect(verified).toMatchObject({ verdict: 'verified-against-fingerprint', findings: [] });
    expect(verdictSentence(verified)).toContain(FINGERPRINT);
  });

  it('has the same bytes when made again', async () => {
    expect(sha256(await zipOf(await input()))).toBe(sha256(sample));
  });

  it('streams into a file as well', async () => {
    const out = new PassThrough();
    const chunks: Uint8Array[] = [];
    out.on('data', (chunk: Uint8Array) => chunks.push(chunk));
    const summary = await writeDossier(await input(), out);
    expect(sha256(Buffer.concat(chunks))).toBe(sha256(sample));
    expect(summary.fingerprint).toBe(FINGERPRINT);
  });

  it('verifies unpacked by another program, with its own checksum tool', async () => {
    const home = await unpacked(sample);
    const bag = join(home, BAG);
    // Neither the zip reader nor sha256sum know anything of this project.
    for (const manifest of ['manifest-sha256.txt', 'tagmanifest-sha256.txt']) {
      expect(
        execFileSync('sha256sum', ['-c', manifest], { cwd: bag, encoding: 'utf8' }),
      ).not.toContain('FAILED');
    }
    execFileSync('sha512sum', ['-c', 'manifest-sha512.txt'], { cwd: bag });
    for (const path of [home, bag]) {
      expect((await verifyDossier(path, { fingerprint: FINGERPRINT })).verdict).toBe(
        'verified-against-fingerprint',
      );
    }
  });

  it('verifies when somebody packed it again with compression', async () => {
    const again = await packedAgain(await filesOf(sample));
    expect(again.length).toBeLessThan(sample.length);
    const report = await verify(again, { fingerprint: FINGERPRINT });
    expect(report).toMatchObject({ verdict: 'verified-against-fingerprint', findings: [] });
  });

  it('is checked by the pure code of verify.html just the same', async () => {
    const file = new Blob([new Uint8Array(sample)]);
    const report = await checkDossier(
      await zipSource(blobAccess(file)),
      { fingerprint: FINGERPRINT },
      pureHashing,
    );
    expect(report).toEqual(await verify(sample, { fingerprint: FINGERPRINT }));
  });

  it('can be read with a browser and no server', async () => {
    const files = await filesOf(sample);
    const about = text(files, 'data/about.html');
    expect(about).toContain('href="records/condition.html"');
    expect(about).toContain(FINGERPRINT);
    expect(about).toContain('&lt;b&gt;wI&lt;/b&gt;');
    const verifyHtml = text(files, 'data/verify.html');
    const script = /<script>([^]*)<\/script>/.exec(verifyHtml)![1]!;
    expect(verifyHtml).toContain(`sha256-${createHash('sha256').update(script).digest('base64')}`);
    expect(`${about}${verifyHtml}`).not.toMatch(/(src|href)="(https?:)?\/\//);
    // A classic script: an import statement left in it would not compile.
    expect(() => new Script(script)).not.toThrow();
  });

  it('says in bag-info what it is', async () => {
    const info = text(await filesOf(sample), 'bag-info.txt');
    expect(info).toContain('Bagging-Date: 2026-11-25\n');
    expect(info).toContain('Mullion-Dossier-Version: 1\n');
    expect(info).toMatch(/^Payload-Oxum: \d+\.\d+$/m);
  });
});

describe('a dossier of version 1', () => {
  // Kept as it was first written: every later program must still read and verify it.
  const path = fileURLToPath(new URL('../../../fixtures/dossier/version-1.zip', import.meta.url));
  // The key is the published test key of RFC 8032 section 7.1, test 2: no secret.
  const fingerprint = 'SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9R';

  it('still verifies', async () => {
    expect(await verifyDossier(path, { fingerprint })).toMatchObject({
      verdict: 'verified-against-fingerprint',
      findings: [],
      logs: [{ origin: 'mullion/sample-archive/site/slm', size: 5, entries: 4, withheld: 1 }],
      objects: { present: 1 },
    });
  });

  it('still has entries that are read as they were written', async () => {
    const files = await filesOf(await readFile(path));
    const lines = text(files, 'data/ledger/mullion_sample-archive_site_slm/entries.jsonl')
      .trimEnd()
      .split('\n');
    const entries = lines.map((line) => parseEntry(utf8(line)));
    expect(entries.map((entry) => entry.seq)).toEqual([1, 2, 3, 4]);
    expect(entries[2]).toMatchObject({
      subject: 'SLM.wI.2b.L12',
      supersedes: { seq: 2 },
      happened: '2026-11-24',
    });
  });
});

describe('a reference to a leaf of the studio’s log', () => {
  const STUDIO = originLine({ archiveId: '5f0c2a9e-demo', log: 'studio' });
  const studio = Array.from({ length: 7 }, (_, seq) => studioEntry(STUDIO, seq));
  const ref = (index: number) => ({
    origin: STUDIO,
    index,
    // RFC 6962 section 2.1: SHA-256 over a zero byte and the entry
    leafHash: createHash('sha256')
      .update(Buffer.concat([Buffer.from([0]), studio[index]!]))
      .digest('hex'),
  });

  it('is proven by itself, and says who held which role', async () => {
    const report = await verify(await zipOf(await referring(ref(2), [2])), {
      fingerprint: FINGERPRINT,
    });
    expect(report).toMatchObject({
      verdict: 'verified-against-fingerprint',
      findings: [],
      remarks: [],
      references: { all: 1, proven: 1 },
      roles: [{ actorId: 'p-1', role: 'keeper', origin: STUDIO, index: 2, entries: 1 }],
    });
  });

  it('is proven by the leaf hash alone, which says no role', async () => {
    const report = await verify(await zipOf(await referring(ref(5), [])));
    expect(report).toMatchObject({
      verdict: 'consistent-key-unknown',
      references: { all: 1, proven: 1 },
      roles: [],
    });
  });

  it('is told when no proof lies here, and is a fault when another leaf stands there', async () => {
    const plain = await referring(ref(2), [2]);
    const without = await verify(await zipOf({ ...plain, references: [] }));
    expect(without).toMatchObject({ findings: [], references: { all: 1, proven: 0 } });
    expect(without.remarks.join()).toContain(STUDIO);
    const wrong = await referring({ ...ref(2), leafHash: ref(3).leafHash }, [2]);
    const report = await verify(await zipOf(wrong));
    expect(report.verdict).toBe('altered');
    expect(report.findings.map(({ reason }) => reason).join()).toContain('refers to another entry');
  });

  it('is a fault when the proof is of a wrong leaf, or signed by somebody else', async () => {
    const good = await referring(ref(2), [2]);
    const [one] = good.references;
    for (const references of [
      [{ ...one!, leaf: { bytes: studio[3]! } }],
      [{ ...one!, hashes: one!.hashes.slice(1) }],
      [{ ...one!, index: 3 }],
      (await referring(ref(2), [2], FORGER)).references,
    ]) {
      const report = await verify(await zipOf({ ...good, references }));
      expect(report.verdict).toBe('altered');
      expect(report.findings.map(({ path }) => path ?? '').join()).toContain('data/references/');
    }
  });

  /** A dossier whose last entry refers to a leaf; studio entries in `given` are put in whole. */
  async function referring(to: EntryRef, given: readonly number[], seed = SEED) {
    const nodes = new Map<string, Uint8Array>();
    const frontier = new Frontier();
    for (const bytes of studio) {
      frontier.append(leafHash(bytes), ({ level, index, hash }) =>
        nodes.set(`${level}/${index}`, hash),
      );
    }
    const readHashes = (wanted: readonly { level: number; index: number }[]) =>
      Promise.resolve(wanted.map(({ level, index }) => nodes.get(`${level}/${index}`)!));
    const hashes = await inclusionProof({ readHashes }, to.index, studio.length);
    const bytes = studio[to.index]!;
    const plain = await input();
    return {
      ...plain,
      logs: [await referringLog(to)],
      objects: [],
      references: [
        {
          index: to.index,
          leaf: given.includes(to.index) ? { bytes } : { leafHash: leafHash(bytes) },
          hashes,
          checkpointNote: await signCheckpoint(
            { origin: STUDIO, size: studio.length, root: frontier.root() },
            { publicKey: publicKeyOf(seed), sign: (m) => signEd25519(m, seed) },
          ),
        },
      ],
    };
  }

  async function referringLog(to: EntryRef): Promise<DossierInput['logs'][number]> {
    const entry = { ...parseEntry(studio[0]!), log: ORIGIN, refs: [to] };
    const bytes = entryBytes(entry);
    const frontier = new Frontier();
    frontier.append(leafHash(bytes));
    return {
      checkpointNote: await signCheckpoint(
        { origin: ORIGIN, size: 1, root: frontier.root() },
        { publicKey: publicKeyOf(SEED), sign: (m) => signEd25519(m, SEED) },
      ),
      key: formatVerifierKey(verifierKey(ORIGIN, publicKeyOf(SEED))),
      entries: () => [{ bytes }],
    };
  }

  function studioEntry(log: string, seq: number): Uint8Array {
    return entryBytes({
      v: 1,
      log,
      seq,
      type: 'person.add',
      subject: null,
      actorId: 'p-1',
      happened: null,
      recordedAt: '2026-11-25T08:00:00.000Z',
      payload: { personId: 'p-1', grants: [{ grantId: `g-${seq}`, siteId: null, role: 'keeper' }] },
      objects: [],
      supersedes: null,
      refs: [],
    });
  }
});

describe('a changed dossier', () => {
  it('is never verified or consistent after one bit was flipped in any file, and the file is named', async () => {
    const files = await filesOf(sample);
    const paths = [...files.keys()];
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...paths), fc.nat(), fc.nat(7), async (path, at, bit) => {
        const changed = new Map([...files].map(([name, bytes]) => [name, bytes.slice()]));
        const bytes = changed.get(path)!;
        bytes[at % bytes.length]! ^= 1 << bit;
        const report = await verify(packed(changed));
        expect(['altered', 'unreadable']).toContain(report.verdict);
        expect(report.findings.map((finding) => finding.reason).join('\n')).toContain(
          path.split('/').at(-1)!,
        );
      }),
      { numRuns: 100 },
    );
  });

  it('names the entry, the object and the checkpoint that were changed', async () => {
    const files = await filesOf(sample);
    const lines = text(files, `data/ledger/${LOG}/entries.jsonl`).split('\n');
    lines[4] = lines[4]!.replace('crack', 'crock');
    const entry = await verify(
      packed(new Map(files).set(`data/ledger/${LOG}/entries.jsonl`, utf8(lines.join('\n')))),
    );
    // Line 4 is entry 5: entry 3 is withheld.
    expect(entry.findings).toContainEqual(
      expect.objectContaining({ place: 'entry', seq: 5, log: ORIGIN }),
    );
    const object = await verify(
      packed(new Map(files).set('data/nets/2b.json', utf8('{"pieces":[1]}'))),
    );
    expect(object.findings).toContainEqual(
      expect.objectContaining({ place: 'object', path: 'data/nets/2b.json' }),
    );
    const note = text(files, `data/ledger/${LOG}/checkpoint.txt`).replace(
      `\n${SIZE}\n`,
      `\n${SIZE + 1}\n`,
    );
    const checkpoint = await verify(
      packed(new Map(files).set(`data/ledger/${LOG}/checkpoint.txt`, utf8(note))),
    );
    expect(checkpoint.findings).toContainEqual(
      expect.objectContaining({ place: 'checkpoint', log: ORIGIN }),
    );
  });

  it.each([
    ['a record', 'data/records/condition.html'],
    ['the list of objects', 'data/objects.json'],
    ['the checking page', 'data/verify.html'],
  ])(
    'is found by the seal when %s was changed and every manifest written anew',
    async (_name, path) => {
      const files = await filesOf(sample);
      files.set(path, utf8(text(files, path).replace(/[a-z]/, 'q')));
      const report = await verify(packed(withNewManifests(files)), {});
      expect(report.verdict).toBe('altered');
      expect(report.findings.map((finding) => finding.place)).toContain('seal');
    },
  );

  it('is never verified when it was wholly rewritten and signed with another key', async () => {
    const forged = await zipOf(await input({ seed: FORGER }));
    expect((await verify(forged)).verdict).toBe('consistent-key-unknown');
    const report = await verify(forged, { fingerprint: FINGERPRINT });
    expect(report.verdict).toBe('altered');
    expect(report.findings[0]!.reason).toContain('does not match the fingerprint');
  });

  it('is never verified when a true log stands in a forged package', async () => {
    const forged = await input({ seed: FORGER });
    const genuine = await input();
    await expect(zipOf({ ...forged, logs: genuine.logs })).resolves.toBeDefined();
    const report = await verify(await zipOf({ ...forged, logs: genuine.logs }));
    expect(report).toMatchObject({ verdict: 'altered', findings: [{ place: 'key', log: ORIGIN }] });
  });

  it.each([
    [
      'a removed record',
      (files: Files) => files.delete('data/records/condition.html'),
      'condition.html is missing',
    ],
    [
      'a removed log',
      (files: Files) => files.delete(`data/ledger/${LOG}/checkpoint.txt`),
      'checkpoint.txt is missing',
    ],
    ['a removed seal', (files: Files) => files.delete('seal.txt'), 'seal.txt is missing'],
    [
      'a removed tag manifest',
      (files: Files) => files.delete('tagmanifest-sha512.txt'),
      'tagmanifest-sha512.txt is missing',
    ],
    [
      'an added record',
      (files: Files) => files.set('data/records/new.html', utf8('x')),
      'new.html was added',
    ],
    [
      'an added tag file',
      (files: Files) => files.set('notes.txt', utf8('x')),
      'notes.txt was added',
    ],
    ['a fetch file', (files: Files) => files.set('fetch.txt', utf8('x')), 'fetch.txt'],
    ['a path out of the bag', (files: Files) => files.set('../escape.txt', utf8('x')), '".."'],
    [
      'a file beside the bag',
      (files: Files) => files.set('\u0000beside.txt', utf8('x')),
      'control character',
    ],
    [
      'two names that differ by case',
      (files: Files) => files.set('data/records/Condition.html', utf8('x')),
      'differ only by case',
    ],
  ])('is altered by %s', async (_name, change, words) => {
    const files = await filesOf(sample);
    change(files);
    const report = await verify(packed(files), { fingerprint: FINGERPRINT });
    expect(report.verdict).toBe('altered');
    expect(report.findings.map((finding) => finding.reason).join('\n')).toContain(words);
  });

  it.each([
    ['the same name twice', (path: string) => path, 'is there twice'],
    ['an absolute name', () => '/etc/x', 'an absolute path'],
    ['a drive', () => 'C:/x', 'an absolute path'],
    ['a backslash', () => `${BAG}\\x`, 'a backslash'],
    ['a second top folder', () => 'other/x.txt', 'outside the bag'],
  ])('is altered by %s in the zip file', async (_name, nameOf, words) => {
    const members = [...(await filesOf(sample))].map(
      ([path, bytes]) => [`${BAG}/${path}`, bytes] as const,
    );
    const added = [...members, [nameOf(`${BAG}/data/records/condition.html`), utf8('x')] as const];
    const report = await verify(zipMembers(added), { fingerprint: FINGERPRINT });
    expect(report.verdict).toBe('altered');
    expect(report.findings.map((finding) => finding.reason).join('\n')).toContain(words);
  });

  it('never comes out verified when any byte of the zip file itself changed what is read', async () => {
    const genuine = await filesOf(sample);
    await fc.assert(
      fc.asyncProperty(fc.nat(sample.length - 1), fc.nat(7), async (at, bit) => {
        const bytes = sample.slice();
        bytes[at]! ^= 1 << bit;
        const report = await verify(bytes, { fingerprint: FINGERPRINT });
        if (report.verdict !== 'verified-against-fingerprint') return;
        // A bit of the container that carries nothing (a date, a permission): the files are the same,
        // and what differs is told.
        expect(report.remarks.join()).toContain('the zip file');
        expect([...(await filesOf(bytes))]).toEqual([...genuine]);
      }),
      { numRuns: 100 },
    );
  });

  it.each([
    ['no zip file', utf8('hello')],
    ['nothing', new Uint8Array(0)],
    ['another bag', zipMembers([['bag/data/x.txt', utf8('x')]])],
  ])('is unreadable as %s', async (_name, bytes) => {
    expect(await verify(bytes)).toMatchObject({ verdict: 'unreadable' });
  });

  it('is unreadable when it was cut off', async () => {
    expect((await verify(sample.slice(0, sample.length - 40))).verdict).toBe('unreadable');
  });

  it('is unreadable, not altered, when a later program made it', async () => {
    const files = await filesOf(sample);
    files.set(
      'bag-info.txt',
      utf8(text(files, 'bag-info.txt').replace('Version: 1', 'Version: 2')),
    );
    const report = await verify(packed(withNewManifests(files)));
    expect(report.verdict).toBe('unreadable');
    expect(report.findings[0]!.reason).toContain('version 2');
  });
});

describe('a reader', () => {
  it('is told of a mistyped fingerprint, not of a forgery', async () => {
    await expect(verify(sample, { fingerprint: shortFingerprint(FINGERPRINT) })).rejects.toThrow(
      'short form',
    );
    await expect(verify(sample, { witnessKeys: ['x'] })).rejects.toThrow('witness');
  });

  const witnessSeed = new Uint8Array(32).fill(9);
  const witness = {
    name: 'witness.example/w1',
    publicKey: publicKeyOf(witnessSeed),
    sign: (m: Uint8Array) => signEd25519(m, witnessSeed),
  };
  const witnessKeys = [
    formatVerifierKey(verifierKey(witness.name, witness.publicKey, COSIGNATURE_TYPE)),
  ];
  const witnessed = async (made: DossierInput, log: DossierInput['logs'][number]) =>
    zipOf({
      ...made,
      logs: [
        { ...log, checkpointNote: await cosignNote(log.checkpointNote, witness, 1_700_000_000) },
      ],
    });
  /** A log whose first entry names the archive's key, as every log of an archive has. */
  const announced = () =>
    logOf(
      SEED,
      ORIGIN,
      SIZE,
      {},
      {
        type: 'key.announce',
        payload: JSON.parse(
          JSON.stringify(
            announcedKey(
              { origin: ORIGIN, seq: 0 },
              { publicKey: publicKeyOf(SEED), sign: (m) => signEd25519(m, SEED) },
              { successor: publicKeyOf(witnessSeed), sealing: new Uint8Array(32).fill(3) },
            ),
          ),
        ) as Entry['payload'],
      },
    );

  it('may trust a witness instead', async () => {
    const report = await verify(await witnessed(await input(), await announced()), { witnessKeys });
    expect(report).toMatchObject({
      verdict: 'verified-against-fingerprint',
      anchor: { kind: 'witness' },
    });
    expect((await verify(sample, { witnessKeys })).verdict).toBe('consistent-key-unknown');
  });

  // The cosignature covers the text of the checkpoint, not the archive's signature on it (C2SP
  // tlog-cosignature, "Ed25519 signed message"): a forger can keep it beside a signature of their own.
  it('is never told that a forged seal over a witnessed history is verified', async () => {
    const forge = async (log: DossierInput['logs'][number]) => {
      const text = log.checkpointNote.slice(0, log.checkpointNote.indexOf('\n\n') + 1);
      const key = verifierKey(ORIGIN, publicKeyOf(FORGER));
      const signer = { ...key, sign: (m: Uint8Array) => signEd25519(m, FORGER) };
      const forged = {
        ...log,
        checkpointNote: await signNote(text, signer),
        key: formatVerifierKey(key),
      };
      return verify(await witnessed(await input({ seed: FORGER }), forged), { witnessKeys });
    };
    const unnamed = await forge((await input()).logs[0]!);
    expect(unnamed.verdict).toBe('consistent-key-unknown');
    expect(unnamed.remarks.join()).toContain('no entry given here names the key');
    // where the history names its key, the forger's contradicts it
    expect((await forge(await announced())).verdict).toBe('altered');
  });

  it("is told which log is another archive's", async () => {
    const made = await input();
    const foreign = await logOf(
      FORGER,
      originLine({ archiveId: 'another-archive', log: 'studio' }),
      2,
    );
    const report = await verify(await zipOf({ ...made, logs: [...made.logs, foreign] }), {
      fingerprint: FINGERPRINT,
    });
    expect(report.verdict).toBe('verified-against-fingerprint');
    expect(report.logs.map((log) => log.isForeign)).toEqual([false, true]);
    expect(report.remarks.join()).toContain("another archive's log");
  });

  it('is told when an entry refers to another entry than the one that is here', async () => {
    const made = await input();
    const ref = { origin: ORIGIN, index: 1, leafHash: 'ab'.repeat(32) };
    const studio = await logOf(SEED, originLine({ archiveId: '5f0c2a9e-demo', log: 'studio' }), 1, {
      refs: [ref],
    });
    const report = await verify(await zipOf({ ...made, logs: [...made.logs, studio] }));
    expect(report).toMatchObject({ verdict: 'altered', findings: [{ place: 'entry', seq: 0 }] });
  });
});

describe('writing', () => {
  it.each<[string, (made: DossierInput) => Partial<DossierInput>, string]>([
    [
      'an original in a handed-out dossier',
      () => ({
        objects: [
          object(PHOTO, 'original', true),
          object(NET, 'net', true),
          object(utf8('w'), 'photograph', false),
        ],
      }),
      'object-kind',
    ],
    [
      'an object that is named but not listed',
      (made) => ({ objects: made.objects.slice(1) }),
      'object-unlisted',
    ],
    [
      'an object with other bytes',
      (made) => ({ objects: made.objects.map((one) => ({ ...one, open: () => [utf8('x')] })) }),
      'object-unlisted',
    ],
    ['a path out of the bag', () => ({ files: [{ path: '../x', open: () => [] }] }), 'path'],
    ['one path twice', (made) => ({ files: [...made.files, ...made.files] }), 'twice'],
    [
      'paths that differ by case',
      () => ({
        files: [
          { path: 'a/x', open: () => [] },
          { path: 'A/x', open: () => [] },
        ],
      }),
      'twice',
    ],
    ['a reserved name', () => ({ files: [{ path: 'about.html', open: () => [] }] }), 'twice'],
    ['a bag name with a slash', () => ({ bagName: 'a/b' }), 'path'],
    [
      'a log that does not fit its checkpoint',
      (made) => ({ logs: [{ ...made.logs[0]!, entries: () => [] }] }),
      'log',
    ],
  ])('refuses %s', async (_name, over, fault) => {
    const made = await input();
    await expect(zipOf({ ...made, ...over(made) })).rejects.toMatchObject({
      name: 'DossierError',
      fault,
    });
  });

  it('refuses a source that changes while it is copied', async () => {
    let opened = 0;
    const moody = { path: 'records/moody.txt', open: () => [utf8(opened++ === 0 ? 'one' : 'two')] };
    await expect(zipOf(await input({ files: [moody] }))).rejects.toBeInstanceOf(DossierError);
  });

  it('refuses to hand out a picture that tells where it was taken or whose camera it was', async () => {
    const plain = sharp({ create: { width: 8, height: 8, channels: 3, background: '#888' } });
    const telling = {
      place: {
        IFD3: {
          GPSLatitudeRef: 'N',
          GPSLatitude: '51/1 0/1 0/1',
          GPSLongitudeRef: 'E',
          GPSLongitude: '0/1 0/1 0/1',
        },
      },
      serial: { IFD2: { BodySerialNumber: '12345' } },
      name: { IFD0: { Artist: 'somebody' } },
    };
    const picture = (bytes: Buffer) =>
      input({ files: [{ path: 'pictures/a.jpg', open: () => [bytes] }] });
    await expect(
      zipOf(await picture(await plain.clone().jpeg().toBuffer())),
    ).resolves.toBeDefined();
    for (const exif of Object.values(telling)) {
      const made = await picture(await plain.clone().withExif(exif).jpeg().toBuffer());
      await expect(zipOf(made)).rejects.toMatchObject({ fault: 'private-detail' });
      await expect(zipOf({ ...made, kind: 'keepers' })).resolves.toBeDefined();
    }
  });

  it("puts the originals into the keeper's dossier", async () => {
    const made = await input();
    const objects = [object(PHOTO, 'original', true), object(NET, 'net', true), made.objects[2]!];
    const zip = await zipOf({ ...made, kind: 'keepers', objects });
    expect(await verify(zip, { fingerprint: FINGERPRINT })).toMatchObject({
      verdict: 'verified-against-fingerprint',
      about: { kind: 'keepers' },
      objects: { present: 2, listedOnly: 0, withdrawn: 1 },
    });
  });
});

const LOG = 'mullion_5f0c2a9e-demo_site_slm';
type Files = Map<string, Uint8Array>;

function object(
  bytes: Uint8Array,
  role: string,
  isPresent: boolean,
): DossierInput['objects'][number] {
  const listed = { digest: `sha256:${sha256(bytes)}`, sizeBytes: bytes.length, role };
  return isPresent
    ? {
        ...listed,
        state: 'present',
        path: role === 'net' ? 'nets/2b.json' : 'images/photo.jpg',
        open: () => [bytes],
      }
    : { ...listed, state: 'listed-only' };
}

async function input({
  seed = SEED,
  files = [] as DossierInput['files'],
} = {}): Promise<DossierInput> {
  const log = await logOf(seed, ORIGIN, SIZE);
  return {
    kind: 'handed-out',
    bagName: BAG,
    subject: 'SLM.wI.2b',
    archive: ARCHIVE,
    signer: { publicKey: publicKeyOf(seed), sign: (message) => signEd25519(message, seed) },
    about: { title: 'Sallowmere Chapel, window <b>wI</b>', studio: 'The studio' },
    madeAt: '2026-11-25T09:00:00.000Z',
    program: 'Mullion 0.1.0',
    logs: [log],
    files: [
      {
        path: 'records/condition.html',
        title: 'Condition record',
        open: () => [utf8('<p>one crack</p>')],
      },
      { path: 'findings.json', open: () => [utf8('[]')] },
      ...files,
    ],
    objects: [
      object(PHOTO, 'original', false),
      object(NET, 'net', true),
      {
        digest: `sha256:${sha256(utf8('w'))}`,
        sizeBytes: 1,
        role: 'photograph',
        state: 'withdrawn',
        reason: 'a person asked',
      },
    ],
  };
}

async function logOf(
  seed: Uint8Array,
  origin: string,
  size: number,
  over: Partial<Entry> = {},
  first: Partial<Entry> = {},
) {
  const frontier = new Frontier();
  const entries: Uint8Array[] = [];
  for (let seq = 0; seq < size; seq++) {
    const bytes = entryBytes({
      v: 1,
      log: origin,
      seq,
      type: 'finding.record',
      subject: 'SLM.wI.2b.17',
      actorId: '0190a0c4-0000-7000-8000-000000000001',
      happened: '2026-11-24',
      recordedAt: '2026-11-25T08:30:00.000Z',
      payload: { note: `crack ${seq}` },
      objects: [
        { digest: `sha256:${sha256(PHOTO)}`, role: 'original' },
        { digest: `sha256:${sha256(NET)}`, role: 'net' },
      ],
      supersedes: null,
      refs: [],
      ...over,
      ...(seq === 0 && first),
    });
    entries.push(bytes);
    frontier.append(leafHash(bytes));
  }
  const publicKey = publicKeyOf(seed);
  const checkpointNote = await signCheckpoint(
    { origin, size, root: frontier.root() },
    { publicKey, sign: (message) => signEd25519(message, seed) },
  );
  return {
    checkpointNote,
    key: formatVerifierKey(verifierKey(origin, publicKey)),
    entries: () =>
      entries.map((bytes, seq) => (seq === WITHHELD ? { leafHash: leafHash(bytes) } : { bytes })),
  };
}

async function zipOf(made: DossierInput): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  for await (const chunk of dossierBytes(made)) chunks.push(chunk);
  return new Uint8Array(Buffer.concat(chunks));
}

async function verify(zip: Uint8Array, trust: DossierTrust = {}): Promise<DossierReport> {
  const path = join(folder, `${sha256(zip)}.zip`);
  await writeFile(path, zip);
  try {
    return await verifyDossier(path, trust);
  } finally {
    await rm(path);
  }
}

async function filesOf(zip: Uint8Array): Promise<Files> {
  const access = blobAccess(new Blob([new Uint8Array(zip)]));
  const files: Files = new Map();
  for (const member of await readZipDirectory(access)) {
    const chunks: Uint8Array[] = [];
    for await (const chunk of readZipMember(access, member)) chunks.push(chunk);
    files.set(member.name.slice(BAG.length + 1), new Uint8Array(Buffer.concat(chunks)));
  }
  return files;
}

function packed(files: Files): Uint8Array {
  return zipMembers([...files].map(([path, bytes]) => [`${BAG}/${path}`, bytes] as const));
}

function zipMembers(members: readonly (readonly [string, Uint8Array])[]): Uint8Array {
  const layout = new ZipLayout();
  const parts = members.flatMap(([name, bytes]) => {
    const running = pureHashing.start();
    running.update(bytes);
    const { crc32, sizeBytes } = running.finish();
    return [layout.header({ name, crc32, sizeBytes }), bytes];
  });
  return new Uint8Array(Buffer.concat([...parts, layout.end()]));
}

/** What a forger without the key can do: every manifest and size right again. */
function withNewManifests(files: Files): Files {
  const made = new Map(files);
  const payload = [...made.keys()].filter((path) => path.startsWith('data/'));
  const bytes = payload.reduce((sum, path) => sum + made.get(path)!.length, 0);
  made.set(
    'bag-info.txt',
    utf8(text(made, 'bag-info.txt').replace(/Oxum: .*/, `Oxum: ${bytes}.${payload.length}`)),
  );
  const write = (name: string, algorithm: string, paths: string[]) => {
    const line = (path: string) =>
      `${createHash(algorithm).update(made.get(path)!).digest('hex')}  ${path}\n`;
    made.set(`${name}-${algorithm}.txt`, utf8(paths.map(line).join('')));
  };
  for (const algorithm of ['sha256', 'sha512']) write('manifest', algorithm, payload);
  const tags = ['bagit.txt', 'bag-info.txt', 'manifest-sha256.txt', 'manifest-sha512.txt'];
  for (const algorithm of ['sha256', 'sha512']) write('tagmanifest', algorithm, tags);
  return made;
}

/** Unpacks with somebody else's reader. */
async function unpacked(zip: Uint8Array): Promise<string> {
  const home = await mkdtemp(join(folder, 'unpacked-'));
  const file = await yauzl.fromBufferPromise(Buffer.from(zip), { strictFileNames: true });
  for await (const entry of file.eachEntry()) {
    const path = join(home, entry.fileName);
    await mkdir(dirname(path), { recursive: true });
    await pipeline(await file.openReadStreamPromise(entry), createWriteStream(path));
  }
  expect(await readdir(home)).toEqual([BAG]);
  return home;
}

/** Packs with somebody else's writer, compressed. */
async function packedAgain(files: Files): Promise<Uint8Array> {
  const zip = new yazl.ZipFile();
  for (const [path, bytes] of files) zip.addBuffer(Buffer.from(bytes), `${BAG}/${path}`);
  zip.end();
  const chunks: Buffer[] = [];
  for await (const chunk of zip.outputStream) chunks.push(chunk as Buffer);
  return new Uint8Array(Buffer.concat(chunks));
}

function text(files: Files, path: string): string {
  return new TextDecoder().decode(files.get(path));
}

function utf8(value: string): Uint8Array {
  return new TextEncoder().encode(value);
}

function sha256(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}
