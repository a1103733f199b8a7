/**
 * How fast files come in and tiles go out, each beside a floor measured in the same run:
 * SHA-256 and a durable write for intake, a bare HTTP server with one positioned read for tiles.
 * `npm run bench:media`
 */
import { createHash, randomBytes } from 'node:crypto';
import { mkdtempSync, openSync, readFileSync, readSync, rmSync, writeFileSync } from 'node:fs';
import { Agent, createServer, request } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import sharp from 'sharp';
import { openHome, startArchiveDatabase } from '#libs/db';
import { Imaging } from '#libs/imaging';
import { openObjectStore } from '#libs/objects';
import { addSite, type Client, environmentOf, firstKeeper } from '../support/media-archive.js';
import { startServerProcess } from '../support/server-process.js';
import { putFile, tusFile } from './media-clients.js';

const FILES = 24;
const FILE_BYTES = 8 * 2 ** 20;

/** A document as large as a photograph: nothing to decode, so that only the way in is timed. */
function document(): Buffer {
  return Buffer.concat([
    Buffer.from('%PDF-1.4\n'),
    randomBytes(FILE_BYTES - 15),
    Buffer.from('\n%%EOF'),
  ]);
}

async function timed(work: () => Promise<void>): Promise<number> {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
}

/** Processor time that a process has used, ms (Linux: fields 14 and 15 of stat, in ticks of 10 ms). */
function cpuMsOf(pid: number): number {
  const stat = readFileSync(`/proc/${pid}/stat`, 'latin1');
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return (Number(fields[11]) + Number(fields[12])) * 10;
}

async function each<T>(items: readonly T[], atOnce: number, work: (item: T) => Promise<void>) {
  const queue = [...items];
  await Promise.all(
    Array.from({ length: atOnce }, async () => {
      for (let item = queue.shift(); item !== undefined; item = queue.shift()) await work(item);
    }),
  );
}

const mbOf = (files: readonly Buffer[]) => files.reduce((sum, file) => sum + file.length, 0) / 1e6;

async function intake(keeper: Client, siteId: string, folder: string, pid: number): Promise<void> {
  let cpu = cpuMsOf(pid);
  const report = (name: string, mb: number, seconds: number, floor: number) => {
    const ratio = floor === 0 ? '' : `  ${(seconds / floor).toFixed(2)} × sha256`;
    const used = cpuMsOf(pid) - cpu;
    cpu += used;
    const server = used < 100 ? '' : `  server CPU ${(used / FILES).toFixed(0)} ms a file`;
    console.log(
      `${name.padEnd(40)} ${(mb / seconds).toFixed(0).padStart(5)} MB/s${ratio}${server}`,
    );
  };
  const fresh = () => Array.from({ length: FILES }, document);
  let files = fresh();
  const mb = mbOf(files);
  const sha256 = await timed(async () => {
    for (const file of files) createHash('sha256').update(file).digest();
    await Promise.resolve();
  });
  report('sha256 in memory', mb, sha256, 0);
  const store = await openObjectStore(`file:${join(folder, 'floor')}`);
  for (const atOnce of [1, 4]) {
    files = fresh();
    const seconds = await timed(() =>
      each(files, atOnce, async (file) => {
        await store.put(file);
      }),
    );
    report(`hash, write, fsync, rename; ${atOnce} at once`, mb, seconds, sha256);
    files = fresh();
    const plain = await timed(() =>
      each(files, atOnce, async (file) => {
        await putFile(keeper, siteId, file);
      }),
    );
    report(`plain upload, attached; ${atOnce} at once`, mb, plain, sha256);
    files = fresh();
    const resumable = await timed(() =>
      each(files, atOnce, (file) => tusFile(keeper, siteId, file)),
    );
    report(`tus upload, attached; ${atOnce} at once`, mb, resumable, sha256);
  }
}

async function photographs(keeper: Client, siteId: string): Promise<{ mediaId: string }> {
  const raw = { width: 6000, height: 4000, channels: 3 as const };
  const noise = await sharp(randomBytes(750 * 500 * 3), {
    raw: { width: 750, height: 500, channels: 3 },
  })
    .resize(raw.width, raw.height)
    .raw()
    .toBuffer();
  const photograph = await sharp(noise, { raw }).jpeg({ quality: 92 }).toBuffer();
  let mediaId = '';
  const seconds = await timed(async () => {
    mediaId = await putFile(keeper, siteId, photograph);
  });
  console.log(
    `24 MP photograph, ${(photograph.length / 1e6).toFixed(1)} MB: decoded, stored, attached in ${(seconds * 1000).toFixed(0)} ms`,
  );
  const folder = mkdtempSync(join(tmpdir(), 'pyramid-'));
  const imaging = new Imaging({ scratchFolder: folder });
  writeFileSync(join(folder, 'in'), photograph);
  await imaging.probe(join(folder, 'in')); // warm
  const made = await timed(async () => {
    await imaging.pyramid(join(folder, 'in'), join(folder, 'out'));
  });
  console.log(`pyramid of it: ${made.toFixed(2)} s`);
  imaging.close();
  rmSync(folder, { recursive: true });
  return { mediaId };
}

async function rate(url: string, paths: readonly string[], cookie: string, atOnce: number) {
  const agent = new Agent({ keepAlive: true, maxSockets: atOnce });
  const { hostname, port } = new URL(url);
  const one = (path: string) =>
    new Promise<void>((resolve, reject) => {
      request({ host: hostname, port, path, agent, headers: { Cookie: cookie } }, (response) => {
        if (response.statusCode !== 200) reject(new Error(`${path}: ${response.statusCode}`));
        response.on('data', () => undefined).on('end', resolve);
      })
        .on('error', reject)
        .end();
    });
  await each(paths.slice(0, 100), atOnce, one); // warm
  const seconds = await timed(() => each(paths, atOnce, one));
  agent.destroy();
  return paths.length / seconds;
}

async function tiles(keeper: Client, mediaId: string, folder: string, pid: number): Promise<void> {
  const paths = Array.from({ length: 4000 }, (_, i) => {
    const [column, row] = [i % 23, Math.floor(i / 23) % 15];
    return `/iiif/3/${mediaId}/${column * 256},${row * 256},256,256/256,256/0/default.jpg`;
  });
  const edges = Array.from({ length: 600 }, (_, i) => {
    const row = i % 15;
    return `/iiif/3/${mediaId}/5888,${row * 256},112,256/112,256/0/default.jpg`;
  });
  const path = join(folder, 'tiles');
  writeFileSync(path, randomBytes(2 ** 22));
  const fd = openSync(path, 'r');
  const bare = createServer((_request, response) => {
    const bytes = Buffer.allocUnsafe(12_000);
    readSync(fd, bytes, 0, bytes.length, Math.floor(Math.random() * 2 ** 21));
    response.setHeader('Content-Length', bytes.length).end(bytes);
  });
  await new Promise<void>((resolve) => bare.listen(0, '127.0.0.1', resolve));
  const bareUrl = `http://127.0.0.1:${(bare.address() as AddressInfo).port}`;
  for (const atOnce of [1, 16]) {
    const floor = await rate(bareUrl, paths, '', atOnce);
    const before = cpuMsOf(pid);
    const served = await rate(keeper.url, paths, keeper.cookie, atOnce);
    const perTile = (cpuMsOf(pid) - before) / (paths.length + 100);
    const edge = await rate(keeper.url, edges, keeper.cookie, atOnce);
    console.log(
      `${atOnce} at once: bare server ${floor.toFixed(0)}/s, tiles ${served.toFixed(0)}/s (server CPU ${perTile.toFixed(2)} ms), edge tiles ${edge.toFixed(0)}/s`,
    );
  }
  bare.close();
}

const folder = mkdtempSync(join(tmpdir(), 'mullion-media-speed-'));
const home = openHome(join(folder, 'home'));
const database = await startArchiveDatabase(home);
const env = environmentOf(join(folder, 'home'), database.applicationUrl);
const server = await startServerProcess(env);
const worker = await startServerProcess(env, 'worker');
try {
  const keeper = await firstKeeper(server.url);
  const { siteId } = await addSite(keeper);
  await intake(keeper, siteId, folder, server.pid);
  const { mediaId } = await photographs(keeper, siteId);
  for (;;) {
    const media = await keeper.json<{ pyramid: string }>('GET', `/v1/media/${mediaId}`);
    if (media.body.pyramid === 'ready') break;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  await tiles(keeper, mediaId, folder, server.pid);
} finally {
  await worker.kill();
  await server.kill();
  await database.stop();
  rmSync(folder, { recursive: true, force: true });
}
