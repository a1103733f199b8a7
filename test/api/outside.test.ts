/**
 * A worker asks a witness (another archive) and a time authority (`openssl ts`), and a dossier carries
 * what they said to a reader without any server.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type DossierReport, verifyDossier } from '#libs/dossier';
import { formatVerifierKey, verifierKey } from '#libs/ledger';
import { checkTimeToken, readAuthorities } from '#libs/timestamp';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';
import {
  AUTHORITY_NAME,
  makeTimeAuthority,
  serveTimeAuthority,
  type TimeAuthority,
} from '../support/time-authority.js';

const NAME = 'witness.example/other-studio';

let authority: TimeAuthority;
let served: Awaited<ReturnType<typeof serveTimeAuthority>>;
let witness: ApiArchive;
let witnessKey: string;
let ours: ApiArchive;
let worker: RunningWorker;
let siteId: string;
let dossierPath: string;

beforeAll(async () => {
  authority = makeTimeAuthority();
  served = await serveTimeAuthority(authority);
  witness = await startApiArchive({ MULLION_WITNESS_NAME: NAME });
  const state = await answer<{ verifierKey: string }>(witness.keeper.get('/v1/witness'), 200);
  witnessKey = state.verifierKey;
  ours = await startApiArchive({
    MULLION_WITNESSES: `${witness.url}/witness ${witnessKey}`,
    MULLION_TIME_AUTHORITY: served.url,
    MULLION_TIME_AUTHORITY_CA: authority.caFile,
  });
  ({ siteId } = await ours.site('OUT'));
  const logs = await answer<{
    verifierKey: { publicKey: string };
    items: { origin: string }[];
  }>(ours.keeper.get('/v1/logs'), 200);
  const publicKey = new Uint8Array(Buffer.from(logs.verifierKey.publicKey, 'base64'));
  for (const { origin } of logs.items) {
    const verifierKeys = [formatVerifierKey(verifierKey(origin, publicKey))];
    await witness.keeper.post('/v1/witness/logs', { origin, verifierKeys }).expect(201);
  }
  worker = await ours.startWorker();
}, 120_000);
afterAll(async () => {
  await worker.close();
  await ours.close();
  await witness.close();
  await served.close();
  authority.drop();
});

interface Outside {
  items: {
    logId: string;
    size: number;
    witnesses: { name: string; cosignedSize: number | null; trouble: string | null }[];
    time: { size: number | null; authority: string | null; trouble: string | null } | null;
  }[];
}

const stateOf = async (logId: string) =>
  (await answer<Outside>(ours.keeper.get('/v1/outside'), 200)).items.find(
    (one) => one.logId === logId,
  )!;

async function until<T>(ask: () => Promise<T | undefined>, what: string): Promise<T> {
  for (const end = Date.now() + 60_000; Date.now() < end; ) {
    const value = await ask();
    if (value !== undefined) return value;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  throw new Error(`${what} did not come about within a minute`);
}

it('asks both when its keeper says so, and tells what they said', async () => {
  await ours.keeper.post(`/v1/logs/${siteId}/ask-outside`).expect(202);
  const state = await until(async () => {
    const now = await stateOf(siteId);
    return now.witnesses[0]!.cosignedSize === now.size && now.time?.size === now.size
      ? now
      : undefined;
  }, 'cosignature and token');
  expect(state).toMatchObject({
    witnesses: [{ name: NAME, trouble: null }],
    time: { authority: AUTHORITY_NAME, trouble: null },
  });
  const reader = await ours.person('reads-only', 'reader');
  await reader.post(`/v1/logs/${siteId}/ask-outside`).expect(403);
  const evidence = await answer<{ seen: object; time: { token: string; note: string } }>(
    reader.get(`/v1/logs/${siteId}/evidence?seq=0`),
    200,
  );
  const said = await checkTimeToken(
    new Uint8Array(Buffer.from(evidence.time.token, 'base64')),
    Buffer.from(evidence.time.note),
    readAuthorities(readFileSync(authority.caFile, 'utf8')),
  );
  expect(said).toMatchObject({ ok: true, authority: AUTHORITY_NAME, isChainChecked: true });
}, 90_000);

describe('a dossier', () => {
  beforeAll(async () => {
    const asked = await answer<{ dossierId: string }>(
      ours.keeper.post(`/v1/sites/${siteId}/dossiers`, { subject: 'wI', kind: 'keepers' }),
      202,
    );
    const url = `/v1/dossiers/${asked.dossierId}/file`;
    await until(async () => {
      const response = await fetch(`${ours.url}${url}`, { headers: { Cookie: ours.cookie } });
      if (response.status !== 200) return undefined;
      dossierPath = join(authority.folder, 'dossier.zip');
      writeFileSync(dossierPath, new Uint8Array(await response.arrayBuffer()));
      return true;
    }, 'the dossier');
  }, 90_000);

  const check = (trust: Parameters<typeof verifyDossier>[1]) => verifyDossier(dossierPath, trust);

  it('is verified by the witness alone, without the archive’s fingerprint', async () => {
    const report: DossierReport = await check({ witnessKeys: [witnessKey] });
    expect(report.findings).toEqual([]);
    expect(report).toMatchObject({
      verdict: 'verified-against-fingerprint',
      anchor: { kind: 'witness', name: NAME },
    });
  });

  it('says at what time it stood at the latest, by an authority that the reader trusts', async () => {
    const authorities = readAuthorities(readFileSync(authority.caFile, 'utf8'));
    const trusting = await check({ checkTime: (t, d) => checkTimeToken(t, d, authorities) });
    expect(trusting.times).toMatchObject([{ authority: AUTHORITY_NAME, isChainChecked: true }]);
    expect(Math.abs(Date.parse(trusting.times[0]!.at) - Date.now())).toBeLessThan(120_000);
    const other = makeTimeAuthority();
    try {
      const strangers = readAuthorities(readFileSync(other.caFile, 'utf8'));
      const distrusting = await check({ checkTime: (t, d) => checkTimeToken(t, d, strangers) });
      expect(distrusting.times).toEqual([]);
      expect(distrusting.verdict).not.toBe('altered');
      expect(distrusting.remarks.join()).toContain('no authority that you named');
    } finally {
      other.drop();
    }
  });

  it('carries the very token that openssl verifies over the very bytes that it carries', () => {
    execFileSync('unzip', ['-q', '-o', dossierPath, '-d', join(authority.folder, 'bag')]);
    const [token, stamped] = ['time-token.der', 'stamped-checkpoint.txt'].map(
      (name) =>
        execFileSync('find', [join(authority.folder, 'bag'), '-name', name], { encoding: 'utf8' })
          .trim()
          .split('\n')[0]!,
    );
    expect(authority.verify(stamped!, { token: token! })).toMatchObject({ ok: true });
  });
});
