/** A dossier of an archive whose key was changed: what each reader is told. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  announcedKey,
  changedKey,
  entryBytes,
  Frontier,
  fingerprintOf,
  formatVerifierKey,
  leafHash,
  publicKeyOf,
  type SignedBy,
  signCheckpoint,
  signEd25519,
  verifierKey,
} from '#libs/ledger';
import { checkDossier } from './check-dossier.js';
import { pureHashing } from './digests.js';
import { type DossierReport, verdictSentence } from './report.js';
import { zipSource } from './source.js';
import { verifyDossier } from './verify-dossier.js';
import { blobAccess } from './verify-page/picked.js';
import { dossierBytes } from './write-dossier.js';

const ARCHIVE = 'mullion/5f0c2a9e-demo';

const seedOf = (key: number) => new Uint8Array(32).fill(key);
const publicOf = (key: number) => publicKeyOf(seedOf(key));
const printOf = (key: number) => fingerprintOf(publicOf(key));
const signerOf = (key: number) => ({
  publicKey: publicOf(key),
  sign: (message: Uint8Array) => signEd25519(message, seedOf(key)),
});

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dossier-keys-'));
});
afterAll(() => rm(folder, { recursive: true }));

async function logOf(
  site: string,
  to: number,
  signedBy: SignedBy,
  by = signedBy === 'old' ? 1 : to,
) {
  const origin = `${ARCHIVE}/site/${site}`;
  const place = (seq: number) => ({ origin, seq });
  const said = { successor: publicOf(90), sealing: seedOf(3) };
  const payloads: [string, object][] = [
    ['key.announce', announcedKey(place(0), signerOf(1), said)],
    ['finding.record', { note: 'crack' }],
    ['key.change', changedKey(place(2), publicOf(1), publicOf(to), signedBy, signerOf(by))],
    ['key.announce', announcedKey(place(3), signerOf(to), { ...said, successor: publicOf(91) })],
  ];
  const frontier = new Frontier();
  const entries = payloads.map(([type, payload], seq) => {
    const bytes = entryBytes({
      v: 1,
      log: origin,
      seq,
      type,
      subject: null,
      actorId: 'a1',
      happened: null,
      recordedAt: '2026-11-25T08:30:00.000Z',
      payload: JSON.parse(JSON.stringify(payload)) as null,
      objects: [],
      supersedes: null,
      refs: [],
    });
    frontier.append(leafHash(bytes));
    return { bytes };
  });
  const head = { origin, size: frontier.size, root: frontier.root() };
  return {
    checkpointNote: await signCheckpoint(head, signerOf(to)),
    key: formatVerifierKey(verifierKey(origin, publicOf(to))),
    entries: () => entries,
  };
}

type Log = Awaited<ReturnType<typeof logOf>>;

/** The report by the command's check and by the page's, which must agree. */
async function checked(to: number, logs: Log[], fingerprint?: string): Promise<DossierReport> {
  const chunks: Uint8Array[] = [];
  for await (const chunk of dossierBytes({
    kind: 'handed-out',
    bagName: 'slm-handed-out',
    subject: 'SLM',
    archive: ARCHIVE,
    signer: signerOf(to),
    about: { title: 'Sallowmere Chapel', studio: '' },
    madeAt: '2026-11-25T09:00:00.000Z',
    program: 'mullion 0.1.0',
    logs,
    files: [],
    objects: [],
  })) {
    chunks.push(chunk);
  }
  const zip = Buffer.concat(chunks);
  const path = join(folder, 'dossier.zip');
  await writeFile(path, zip);
  const trust = fingerprint === undefined ? {} : { fingerprint };
  const report = await verifyDossier(path, trust);
  const source = await zipSource(blobAccess(new Blob([new Uint8Array(zip)])));
  expect(await checkDossier(source, trust, pureHashing)).toEqual(report);
  return report;
}

it('is verified against the key before it too, and says which key it is by now', async () => {
  const logs = [await logOf('slm', 2, 'old'), await logOf('oth', 2, 'old')];
  const report = await checked(2, logs, printOf(1));
  expect(report).toMatchObject({
    verdict: 'verified-against-fingerprint',
    anchor: { kind: 'fingerprint', fingerprint: printOf(1) },
    findings: [],
  });
  expect(verdictSentence(report)).toContain(printOf(1));
  expect(verdictSentence(report)).toContain(`whose key is ${printOf(2)} by now`);
  expect(report.keyRemarks).toHaveLength(2);
  expect((await checked(2, logs, printOf(2))).verdict).toBe('verified-against-fingerprint');
  expect((await checked(2, logs, printOf(6))).verdict).toBe('altered');
});

it('says that it was changed without the old key, in every result', async () => {
  const logs = [await logOf('slm', 90, 'successor')];
  for (const fingerprint of [undefined, printOf(1), printOf(90), printOf(6)]) {
    const report = await checked(90, logs, fingerprint);
    expect(verdictSentence(report)).toContain(
      'Mind: changed without the old key at entry 2, by the key announced at entry 0.',
    );
    expect(report.verdict).toBe(
      fingerprint === undefined
        ? 'consistent-key-unknown'
        : fingerprint === printOf(6)
          ? 'altered'
          : 'verified-against-fingerprint',
    );
  }
});

it('by neither key is never verified against the old one', async () => {
  const logs = [await logOf('slm', 7, 'none')];
  const report = await checked(7, logs, printOf(1));
  expect(report).toMatchObject({ verdict: 'consistent-key-unknown', findings: [] });
  expect(report.anchor).toBeUndefined();
  expect(verdictSentence(report)).toMatch(
    /Mind: changed without the old key at entry 2, and not by/,
  );
  expect((await checked(7, logs, printOf(7))).verdict).toBe('verified-against-fingerprint');
});

it('with one log that a forger handed on is never verified', async () => {
  const logs = [await logOf('slm', 6, 'old', 6), await logOf('oth', 6, 'none')];
  expect((await checked(6, logs, printOf(1))).verdict).toBe('altered');
});
