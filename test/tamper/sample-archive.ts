/**
 * An archive with something of each kind in it, for tests that damage it: the server's own API over a
 * real PostgreSQL and a folder of objects. And the access of whoever administers the machine.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { type ArchiveReport, checkArchive, readConfig, signerFromPem } from '#libs/archive';
import { createPool, type PgPool } from '#libs/db';
import { openObjectStore } from '#libs/objects';
import { startServer } from '../../apps/server/src/start-server.js';
import { startWorker } from '../../apps/worker/src/start-worker.js';
import { twoPieces } from '../support/api-archive.js';
import { addSite, type Client, firstKeeper, testEnvironment } from '../support/media-archive.js';

type CheckOptions = Parameters<typeof checkArchive>[0];

export interface SampleArchive {
  readonly home: string;
  readonly keyFile: string;
  /** as the application's role */
  readonly databaseUrl: string;
  readonly siteId: string;
  readonly fingerprint: string;
  /** as the database's superuser, triggers left out: what nobody can be kept from who has the machine */
  readonly machine: PgPool;
  /** bytes of a dossier of the site, as handed out by the server */
  readonly dossier: Buffer;
  check(more?: Partial<CheckOptions>): Promise<ArchiveReport>;
  close(): Promise<void>;
}

export async function startSampleArchive(): Promise<SampleArchive> {
  const place = await testEnvironment();
  const config = readConfig(place.env);
  const server = await startServer(config);
  const keeper = await firstKeeper(server.url);
  const { siteId } = await addSite(keeper);
  await fill(keeper, siteId);
  const worker = await startWorker(config);
  const dossier = await dossierOf(keeper, siteId).finally(() => worker.close());
  await server.close();
  const pool = createPool(config.databaseUrl, { max: 4 });
  const machine = machinePool(config.databaseUrl);
  const objects = await openObjectStore(config.objects);
  const { publicKey, fingerprint } = signerFromPem(readFileSync(config.keyFile));
  return {
    home: place.home,
    keyFile: config.keyFile,
    databaseUrl: config.databaseUrl,
    siteId,
    fingerprint,
    machine,
    dossier,
    check: (more) =>
      checkArchive({
        pool,
        objects,
        stores: [{ name: 'primary', store: objects }],
        publicKey,
        objectsMode: 'all',
        withProjections: true,
        ...more,
      }),
    async close() {
      await pool.end();
      await machine.end();
      await place.drop();
    },
  };
}

async function fill(keeper: Client, siteId: string): Promise<void> {
  const panels = await panelIds(keeper, siteId);
  for (const [at, panelId] of panels.entries()) {
    const panel = `/v1/panels/${panelId}`;
    await said(
      keeper,
      'POST',
      `${panel}/nets`,
      { sketch: twoPieces(), note: 'by hand' },
      { 'If-Match': '"0"' },
    );
    await said(keeper, 'POST', `${panel}/nets/1/sign`);
    for (let n = 0; n < 4; n++) {
      const xyMm = [
        [20 + 10 * n, 20],
        [20 + 10 * n, 120 + at],
      ];
      const crack = { term: 'glass.crack.simple', face: 'inside', happened: '2026-05' };
      await said(keeper, 'POST', `${panel}/findings`, {
        ...crack,
        geometry: { kind: 'line', xyMm },
        note: `crack ${n}, Süd · 2½ mm`,
      });
    }
    await picture(keeper, siteId, at);
  }
  // more than 256 entries, so that a tile of the tree is full
  await Promise.all(
    Array.from({ length: 250 }, (_, n) =>
      said(keeper, 'POST', `/v1/panels/${panels[n % panels.length]!}/findings`, {
        term: 'glass.crack.simple',
        face: 'inside',
        geometry: {
          kind: 'line',
          xyMm: [
            [30, 30 + n],
            [60, 30 + n],
          ],
        },
      }),
    ),
  );
  await said(keeper, 'POST', `/v1/sites/${siteId}/interventions`, {
    subjects: ['wI.1a.1'],
    operation: 'bond.epoxy',
    happened: '1931~',
    detail: { batch: '7', parts: 2 },
  });
  await said(keeper, 'POST', '/v1/people', {
    displayName: 'Surveyor',
    login: 'surveyor',
    roles: [{ siteId, role: 'recorder' }],
  });
}

async function panelIds(keeper: Client, siteId: string): Promise<string[]> {
  const windows = await keeper.json<{ items: { windowId: string }[] }>(
    'GET',
    `/v1/sites/${siteId}/windows`,
  );
  const window = await keeper.json<{ panels: { panelId: string }[] }>(
    'GET',
    `/v1/windows/${windows.body.items[0]!.windowId}`,
  );
  return window.body.panels.map((panel) => panel.panelId);
}

/** A sound picture; its noise comes from the number, so that every run has the same. */
async function picture(keeper: Client, siteId: string, seed: number): Promise<void> {
  const pixels = Buffer.from(
    Array.from({ length: 40 * 30 * 3 }, (_, i) => (i * 31 + seed * 97) % 251),
  );
  const bytes = await sharp(pixels, { raw: { width: 40, height: 30, channels: 3 } })
    .jpeg()
    .toBuffer();
  const query = new URLSearchParams({
    subjects: `wI.${seed + 1}a`,
    kind: 'photograph',
    fileName: `panel-${seed + 1}a.jpg`,
  });
  const response = await keeper.fetch(`/v1/sites/${siteId}/media?${query.toString()}`, {
    method: 'PUT',
    body: bytes,
    headers: { 'Content-Type': 'image/jpeg' },
  });
  if (response.status !== 201) throw new Error(await response.text());
}

/** Bytes of a dossier of the whole site, once a worker has written it. */
export async function dossierOf(keeper: Client, siteId: string): Promise<Buffer> {
  const asked = await said<{ dossierId: string }>(keeper, 'POST', `/v1/sites/${siteId}/dossiers`, {
    subject: 'SLM',
    kind: 'handed-out',
  });
  for (const end = Date.now() + 120_000; Date.now() < end; ) {
    const response = await keeper.fetch(`/v1/dossiers/${asked.dossierId}/file`);
    if (response.status === 200) return Buffer.from(await response.arrayBuffer());
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  throw new Error('the dossier was not written in two minutes');
}

async function said<T = unknown>(
  keeper: Client,
  method: string,
  path: string,
  body: unknown = {},
  headers: Record<string, string> = {},
): Promise<T> {
  const told = await keeper.json<T>(method, path, body, headers);
  if (told.status >= 300) throw new Error(`${method} ${path}: ${JSON.stringify(told.body)}`);
  return told.body;
}

/** One connection of the superuser that sees no trigger. */
export function machinePool(databaseUrl: string): PgPool {
  const { adminUrl } = JSON.parse(process.env['MULLION_TEST_SERVER']!) as { adminUrl: string };
  const pool = createPool(withDatabase(adminUrl, databaseNameOf(databaseUrl)), { max: 1 });
  // also the connection that takes the place of an idle one
  pool.on('connect', (client) => {
    void client.query('SET session_replication_role = replica');
  });
  return pool;
}

function databaseNameOf(url: string): string {
  return /\/([a-z0-9_]+)(\?|$)/.exec(url)![1]!;
}

function withDatabase(url: string, name: string): string {
  return url.replace(/\/[a-z0-9_]+(\?|$)/, `/${name}$1`);
}

export function objectPath(home: string, digest: string): string {
  const hex = digest.slice('sha256:'.length);
  return join(home, 'objects', 'sha256', hex.slice(0, 2), hex.slice(2, 4), hex);
}
