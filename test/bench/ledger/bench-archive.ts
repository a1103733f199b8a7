/**
 * An archive for measuring: the embedded PostgreSQL as `npm start` runs it (fsync and
 * synchronous_commit on), objects in a folder, sites whose panels have a signed drawing.
 */
import { generateKeyPairSync } from 'node:crypto';
import { appendFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import {
  Archive,
  type Asking,
  addSite,
  addWindow,
  panelIdOf,
  recordFinding,
  reviseNet,
  signerFromKey,
  signNet,
  startArchive,
  uuidV7,
} from '#libs/archive';
import { createPool, openHome, type PgPool, postgresPlaceOf, startArchiveDatabase } from '#libs/db';
import { openObjectStore } from '#libs/objects';

const ROWS = 4;
const LIGHTS = 4;

export interface BenchSite {
  readonly siteId: string;
  readonly panelIds: readonly string[];
}

export interface BenchArchive {
  readonly archive: Archive;
  readonly pool: PgPool;
  readonly ownerUrl: string;
  /** PostgreSQL's own word on what makes a commit durable */
  readonly settings: Readonly<Record<string, string>>;
  readonly asking: Asking;
  /** A site with one window of sixteen panels, each drawn and signed. */
  site(code: string): Promise<BenchSite>;
  /** From here on PostgreSQL waits so long in each commit before it flushes (its `commit_delay`). */
  delayCommits(delayMs: number): Promise<void>;
  close(): Promise<void>;
}

const SHOWN_SETTINGS = ['server_version', 'fsync', 'synchronous_commit', 'full_page_writes'];

export async function openBenchArchive(): Promise<BenchArchive> {
  const folder = mkdtempSync(join(tmpdir(), 'mullion-bench-'));
  const home = openHome(join(folder, 'home'));
  const database = await startArchiveDatabase(home);
  const pool = createPool(database.applicationUrl, { max: 12 });
  const archive = await Archive.open({
    pool,
    objects: await openObjectStore(`file:${join(folder, 'objects')}`),
    signer: signerFromKey(generateKeyPairSync('ed25519').privateKey),
    jobs: { send: () => Promise.resolve() },
  });
  const asking = { actorId: uuidV7(Date.now()) };
  await archive.run(
    startArchive,
    { displayName: 'Head', login: 'head', password: 'a long pass phrase' },
    asking,
  );
  const { rows } = await pool.query<{ name: string; setting: string }>(
    'SELECT name, setting FROM pg_settings WHERE name = ANY($1)',
    [SHOWN_SETTINGS],
  );
  return {
    archive,
    pool,
    ownerUrl: database.ownerUrl,
    settings: Object.fromEntries(rows.map(({ name, setting }) => [name, setting])),
    asking,
    site: (code) => drawnSite(archive, asking, code),
    delayCommits: (delayMs) => delayCommits(postgresPlaceOf(home.path), pool, delayMs),
    async close() {
      await archive.close();
      await pool.end();
      await database.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** PostgreSQL's own means, made to let commits share a flush; here it stands for a slower disk. */
async function delayCommits(place: string, pool: PgPool, delayMs: number): Promise<void> {
  const data = join(place, 'data');
  const delay = `${delayMs * 1000}`;
  appendFileSync(join(data, 'postgresql.conf'), `\ncommit_delay = ${delay}\ncommit_siblings = 0\n`);
  process.kill(Number(readFileSync(join(data, 'postmaster.pid'), 'utf8').split('\n')[0]), 'SIGHUP');
  const isRead = async () => {
    const { rows } = await pool.query<{ setting: string }>(
      "SELECT setting FROM pg_settings WHERE name = 'commit_delay'",
    );
    return rows[0]!.setting === delay;
  };
  while (!(await isRead())) await sleep(20);
}

async function drawnSite(archive: Archive, asking: Asking, code: string): Promise<BenchSite> {
  const { answer } = await archive.run(
    addSite,
    { code, name: `Chapel ${code}`, scheme: 'church' },
    asking,
  );
  const { siteId } = answer;
  const light = {
    kind: 'rectangular',
    widthMm: 400,
    heightMm: 300 * ROWS,
  };
  const lights = Array.from({ length: LIGHTS }, (_, i) => ({
    letter: 'abcd'[i]!,
    xMm: i * 420,
    yMm: 0,
    opening: light,
    rowHeightsMm: Array<number>(ROWS).fill(300),
  }));
  const window = await archive.run(
    addWindow,
    {
      siteId,
      mark: 'wI',
      title: 'West window',
      drawing: {
        opening: { kind: 'rectangular', widthMm: 420 * LIGHTS, heightMm: 300 * ROWS },
        lights,
        tracery: [],
        bars: [],
      },
    },
    asking,
  );
  const panelIds: string[] = [];
  for (const { letter } of lights) {
    for (let row = 1; row <= ROWS; row++) {
      const panelId = panelIdOf(window.answer.windowId, `${row}${letter}`);
      await archive.run(
        reviseNet,
        { panelId, sketch: quarries(), note: 'by hand' },
        { ...asking, ifMatch: '0' },
      );
      await archive.run(signNet, { panelId, revision: 1 }, asking);
      panelIds.push(panelId);
    }
  }
  return { siteId, panelIds };
}

const COLUMNS = 6;
const QUARRY_ROWS = 5;
const QUARRY_MM = 60;

/** Thirty quarries: 6 across, 5 up, 60 mm each along the centre lines. */
function quarries() {
  const nodes: { xyMm: [number, number] }[] = [];
  const at = (column: number, row: number) => row * (COLUMNS + 1) + column;
  for (let row = 0; row <= QUARRY_ROWS; row++)
    for (let column = 0; column <= COLUMNS; column++)
      nodes.push({ xyMm: [column * QUARRY_MM, row * QUARRY_MM] });
  const leads = [];
  const lead = (from: number, to: number, isOuter: boolean) => ({
    from,
    to,
    kind: isOuter ? 'outer' : 'came',
    lineMm: [nodes[from]!.xyMm, nodes[to]!.xyMm],
    faceWidthMm: 6,
  });
  for (let row = 0; row <= QUARRY_ROWS; row++)
    for (let column = 0; column < COLUMNS; column++)
      leads.push(lead(at(column, row), at(column + 1, row), row === 0 || row === QUARRY_ROWS));
  for (let column = 0; column <= COLUMNS; column++)
    for (let row = 0; row < QUARRY_ROWS; row++)
      leads.push(lead(at(column, row), at(column, row + 1), column === 0 || column === COLUMNS));
  return { nodes, leads };
}

/** One finding as a person at the bench sends it: a crack of 40 mm with a note, under a key of its own. */
export async function recordOne(
  { archive, asking }: BenchArchive,
  { panelIds }: BenchSite,
  i: number,
): Promise<void> {
  const x = 10 + (i % 290);
  const y = 10 + ((i * 7) % 250);
  await archive.run(
    recordFinding,
    {
      panelId: panelIds[i % panelIds.length]!,
      term: 'glass.crack.simple',
      geometry: {
        kind: 'line',
        xyMm: [
          [x, y],
          [x + 20, y + 11.5],
          [x + 38.5, y + 9],
        ],
      },
      face: 'inside',
      happened: '2026-11',
      note: `runs from the upper lead, ${i}`,
    },
    { ...asking, idempotencyKey: `bench-${siteKey(panelIds)}-${i}` },
  );
}

function siteKey(panelIds: readonly string[]): string {
  return panelIds[0]!.slice(0, 8);
}
