import { createHash, randomBytes } from 'node:crypto';
import { createReadStream, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { Imaging } from '#libs/imaging';
import { type KillableArchive, startKillableArchive } from '../support/killable-archive.js';
import type { ServerProcess } from '../support/server-process.js';

let archive: KillableArchive;
let worker: ServerProcess;
beforeAll(async () => {
  archive = await startKillableArchive();
  worker = await archive.startWorker();
}, 120_000);
afterAll(async () => {
  await worker.kill();
  await archive.close();
});

async function until(isSo: () => Promise<boolean>, seconds: number, what: string): Promise<void> {
  for (const end = Date.now() + seconds * 1000; Date.now() < end; ) {
    if (await isSo()) return;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  throw new Error(`${what}: not within ${seconds} s`);
}

async function jobState(): Promise<string | undefined> {
  const { rows } = await archive.pool.query<{ state: string }>('SELECT state FROM job_progress');
  return rows[0]?.state;
}

describe('kill -9 of the worker', () => {
  it('in the middle of a picture: the job runs again and gives the same bytes', async () => {
    // noise, so that the pyramid takes long enough to be killed in
    const side = 3000;
    const bytes = await sharp(randomBytes(side * side * 3), {
      raw: { width: side, height: side, channels: 3 },
    })
      .png({ compressionLevel: 1 })
      .toBuffer();
    const { keeper, siteId } = archive;
    const sent = await keeper.fetch(
      `/v1/sites/${siteId}/media?fileName=noise.png&kind=photograph`,
      { method: 'PUT', body: bytes, headers: { 'Content-Type': 'image/png' } },
    );
    expect(sent.status).toBe(201);
    const { mediaId } = (await sent.json()) as { mediaId: string };
    await until(async () => (await jobState()) === 'running', 30, 'the job starts');
    await worker.kill();
    expect(await jobState()).toBe('running');

    worker = await archive.startWorker();
    const ready = async () =>
      (await keeper.json<{ pyramid: string }>('GET', `/v1/media/${mediaId}`)).body.pyramid ===
      'ready';
    // heartbeat 15 s, looked at every 5 s, retry after 5 s, then the work itself
    await until(ready, 120, 'the pyramid is made by another worker');
    await until(async () => (await jobState()) === 'done', 60, 'the job ends');

    const { rows } = await archive.pool.query<{ digest: string }>(
      `SELECT digest FROM derivative WHERE kind = 'pyramid'`,
    );
    expect(rows.map((row) => row.digest)).toEqual([await pyramidDigest(bytes)]);
  }, 300_000);
});

/** What an undisturbed run makes of the same bytes. */
async function pyramidDigest(bytes: Uint8Array): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), 'undisturbed-'));
  const imaging = new Imaging({ scratchFolder: folder });
  try {
    writeFileSync(join(folder, 'in'), bytes);
    await imaging.pyramid(join(folder, 'in'), join(folder, 'out'));
    const hash = createHash('sha256');
    for await (const chunk of createReadStream(join(folder, 'out'))) hash.update(chunk as Buffer);
    return `sha256:${hash.digest('hex')}`;
  } finally {
    imaging.close();
    rmSync(folder, { recursive: true });
  }
}
