/**
 * One archive under trial: a home with its real PostgreSQL (fsync on), server and worker, each of
 * which may be killed at any moment and is started again.
 */
import { createHash } from 'node:crypto';
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { type MullionConfig, readConfig } from '#libs/archive';
import {
  type ArchiveDatabase,
  createPool,
  type Home,
  openHome,
  type PgPool,
  startArchiveDatabase,
} from '#libs/db';
import { type ObjectStore, openObjectStore } from '#libs/objects';
import { freePort } from '../../support/free-port.js';
import { addSite, type Client, firstKeeper, TOKEN } from '../../support/media-archive.js';
import { type ServerProcess, startServerProcess } from '../../support/server-process.js';

const AS_TRIED = { isBuilt: true, isQuiet: true };
const CLOCK = new URL('settable-clock.mjs', import.meta.url).href;

export interface RigOptions {
  /** further variables of server and worker, e.g. where the objects lie */
  readonly env?: Readonly<Record<string, string>>;
  readonly withWorker?: boolean;
  /** where the home is made; without it in the folder for temporary files */
  readonly inFolder?: string;
}

export class Rig {
  worker: ServerProcess | undefined;
  keeper!: Client;
  siteId!: string;
  config!: MullionConfig;
  objects!: ObjectStore;
  #database: ArchiveDatabase | undefined;
  #server: ServerProcess | undefined;
  #pool: PgPool | undefined;
  readonly #folder: string;
  readonly #home: Home;
  readonly #port: number;
  readonly #options: RigOptions;

  private constructor(folder: string, home: Home, port: number, options: RigOptions) {
    this.#folder = folder;
    this.#home = home;
    this.#port = port;
    this.#options = options;
  }

  /** Makes a home with a keeper, a site and a window of two panels, everything running. */
  static async open(options: RigOptions = {}): Promise<Rig> {
    const folder = mkdtempSync(join(options.inFolder ?? tmpdir(), 'mullion-trials-'));
    chmodSync(folder, 0o755); // for root the database runs as another account
    const home = openHome(join(folder, 'home'));
    const rig = new Rig(folder, home, await freePort(), options);
    await rig.up();
    rig.keeper = await firstKeeper(rig.server.url);
    ({ siteId: rig.siteId } = await addSite(rig.keeper));
    return rig;
  }

  get #clockFile(): string {
    return join(this.#folder, 'clock-offset-ms');
  }

  get database(): ArchiveDatabase {
    return started(this.#database);
  }

  get server(): ServerProcess {
    return started(this.#server);
  }

  get pool(): PgPool {
    return started(this.#pool);
  }

  get homePath(): string {
    return this.#home.path;
  }

  /** Starts whatever does not run. */
  async up(): Promise<void> {
    if (!(await this.#isDatabaseUp())) {
      await this.#pool?.end().catch(() => undefined);
      this.#database = await startArchiveDatabase(this.#home);
      this.#pool = createPool(this.database.applicationUrl, { max: 2 });
      this.#pool.on('error', () => undefined); // killed on purpose
    }
    const env = {
      ...this.#options.env,
      DATABASE_URL: this.database.applicationUrl,
      MULLION_HOME: this.homePath,
      MULLION_PORT: String(this.#port),
      MULLION_TRIAL_CLOCK: this.#clockFile,
      MULLION_ONE_TIME_TOKEN_DIGEST: createHash('sha256').update(TOKEN).digest('hex'),
    };
    this.config = readConfig(env);
    this.objects = await openObjectStore(this.config.objects, this.config.s3);
    if (this.#server?.isRunning() !== true) {
      this.#server = await startServerProcess(env, 'server', { ...AS_TRIED, preload: [CLOCK] });
    }
    if (this.#options.withWorker !== false && this.worker?.isRunning() !== true) {
      this.worker = await startServerProcess(env, 'worker', AS_TRIED);
    }
  }

  /** Sets the server's clock off by so much, as if somebody had set it. */
  setClock(offsetMs: number): void {
    writeFileSync(this.#clockFile, String(offsetMs));
    this.server.send('SIGUSR2');
  }

  async killServer(): Promise<void> {
    await this.server.kill();
  }

  async killWorker(): Promise<void> {
    await this.worker?.kill();
  }

  /** SIGKILL of the postmaster; its processes notice and end by themselves. */
  async killDatabase(): Promise<void> {
    const pid = this.#postmaster();
    if (pid === undefined) return;
    process.kill(pid, 'SIGKILL');
    await this.database.ended;
  }

  async close(): Promise<void> {
    await this.worker?.kill();
    await this.server.kill();
    await this.pool.end().catch(() => undefined);
    await this.database.stop();
    this.#home.release();
    if (this.#home.postgresPlace !== undefined) {
      rmSync(this.#home.postgresPlace, { recursive: true, force: true });
    }
    rmSync(this.#folder, { recursive: true, force: true });
  }

  async #isDatabaseUp(): Promise<boolean> {
    if (this.#database === undefined) return false;
    const pending = Symbol('up');
    const state = await Promise.race([this.#database.ended, sleep(1, pending)]);
    return state === pending;
  }

  #postmaster(): number | undefined {
    const place = this.#home.postgresPlace ?? join(this.homePath, 'postgres');
    try {
      return Number(readFileSync(join(place, 'data', 'postmaster.pid'), 'utf8').split('\n')[0]);
    } catch {
      return undefined; // it is not up
    }
  }
}

function started<T>(part: T | undefined): T {
  if (part === undefined) throw new Error('the rig is not up yet');
  return part;
}
