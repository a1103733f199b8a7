/**
 * One archive under trial: a home with its real PostgreSQL (fsync on), server and worker, each of
 * which may be killed at any moment and is started again.
 */
import { createHash, createPublicKey } from 'node:crypto';
import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
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
import {
  type HeldProcess,
  holdServerProcess,
  type ServerProcess,
} from '../../support/server-process.js';

const AS_TRIED = { isBuilt: true, isQuiet: true };
const CLOCK = new URL('settable-clock.mjs', import.meta.url).href;

export interface RigOptions {
  /** further variables of server and worker, e.g. where the objects lie */
  readonly env?: Readonly<Record<string, string>>;
  /** where the home is made; without it in the folder for temporary files */
  readonly inFolder?: string;
}

type PartName = 'server' | 'worker';

export class Rig {
  keeper!: Client;
  siteId!: string;
  config!: MullionConfig;
  #objects: ObjectStore | undefined;
  #database: ArchiveDatabase | undefined;
  readonly #parts = new Map<PartName, ServerProcess>();
  /** those that will come up next: their code is read while people work */
  readonly #held = new Map<PartName, HeldProcess>();
  readonly #killed = new Set<PartName>();
  /** what those that ended had said last */
  readonly #said: string[] = [];
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
    return started(this.#parts.get('server'));
  }

  get objects(): ObjectStore {
    return started(this.#objects);
  }

  get worker(): ServerProcess {
    return started(this.#parts.get('worker'));
  }

  get pool(): PgPool {
    return started(this.#pool);
  }

  /** A folder for what a trial makes beside the home; gone with the rig. */
  get folder(): string {
    return this.#folder;
  }

  get homePath(): string {
    return this.#home.path;
  }

  /** For a command beside the archive, which finds the database by the home. */
  get homeEnv(): Record<string, string> {
    return { ...this.#options.env, MULLION_HOME: this.homePath };
  }

  /** How the parts of the program are told of the archive. */
  get #env(): Record<string, string> {
    return {
      ...this.#options.env,
      DATABASE_URL: this.database.applicationUrl,
      MULLION_HOME: this.homePath,
      MULLION_PORT: String(this.#port),
      MULLION_TRIAL_CLOCK: this.#clockFile,
      MULLION_ONE_TIME_TOKEN_DIGEST: createHash('sha256').update(TOKEN).digest('hex'),
    };
  }

  /** Starts whatever does not run. */
  async up(): Promise<void> {
    if (!(await this.#isDatabaseUp())) {
      await this.#pool?.end().catch(() => undefined);
      this.#database = await startArchiveDatabase(this.#home).catch((error: unknown) => {
        throw new Error(`the database does not start: ${this.#databaseSaid()}`, { cause: error });
      });
      this.#pool = createPool(this.database.applicationUrl, { max: 2 });
      this.#pool.on('error', () => undefined); // killed on purpose
    }
    const env = this.#env;
    this.config = readConfig(env);
    this.#objects ??= await openObjectStore(this.config.objects, this.config.s3);
    await Promise.all([this.#partUp('server', env), this.#partUp('worker', env)]);
    this.#killed.clear();
  }

  async #partUp(name: PartName, env: Readonly<Record<string, string>>): Promise<void> {
    if (this.#parts.get(name)?.isRunning() === true) return;
    const before = this.#parts.get(name);
    if (before !== undefined) this.#said.push(before.lastWords());
    const hold = () =>
      holdServerProcess(env, name, { ...AS_TRIED, preload: name === 'server' ? [CLOCK] : [] });
    this.#parts.set(name, await (this.#held.get(name) ?? hold()).begin());
    this.#held.set(name, hold());
  }

  /** What ended without having been killed: both must outlive whatever is done to the parts beside them. */
  endedByThemselves(): string[] {
    return (['server', 'worker'] as const).flatMap((name) => {
      const part = this[name];
      if (part.isRunning() || this.#killed.has(name)) return [];
      return [`the ${name} ended by itself: ${part.lastWords().slice(-600)}`];
    });
  }

  /** Lines of the worker, of all its lives, that tell of jobs that failed. */
  failedJobs(): string[] {
    return [...this.#said, this.worker.lastWords()]
      .flatMap((words) => words.split('\n'))
      .filter((line) => /^job .* failed/.test(line));
  }

  /** Public keys that are or were in force, from the key files of the home; Ed25519, 32 bytes. */
  publicKeys(): Uint8Array[] {
    return (
      readdirSync(this.homePath)
        // one that lies ready has signed nothing yet
        .filter((name) => /^archive-key.*\.pem$/.test(name) && name !== 'archive-key.next.pem')
        .map((name) => {
          const key = createPublicKey(readFileSync(join(this.homePath, name)));
          return new Uint8Array(Buffer.from(key.export({ format: 'jwk' }).x!, 'base64url'));
        })
    );
  }

  /** Sets the server's clock off by so much, as if somebody had set it. */
  setClock(offsetMs: number): void {
    writeFileSync(this.#clockFile, String(offsetMs));
    this.server.send('SIGUSR2');
  }

  async killServer(): Promise<void> {
    this.#killed.add('server');
    await this.server.kill();
  }

  async killWorker(): Promise<void> {
    this.#killed.add('worker');
    await this.worker.kill();
  }

  /** SIGKILL of the postmaster; its processes notice and end by themselves. */
  async killDatabase(): Promise<void> {
    const pid = this.#postmaster();
    if (pid === undefined) return;
    process.kill(pid, 'SIGKILL');
    await this.database.ended;
  }

  async close(): Promise<void> {
    const processes = [...this.#parts.values(), ...this.#held.values()];
    await Promise.all(processes.map((part) => part.kill()));
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

  get #postgresPlace(): string {
    return this.#home.postgresPlace ?? join(this.homePath, 'postgres');
  }

  /** The end of its log: the home goes with the rig. */
  #databaseSaid(): string {
    return readFileSync(join(this.#postgresPlace, 'postgres.log'), 'utf8').slice(-2000);
  }

  #postmaster(): number | undefined {
    try {
      const pidFile = join(this.#postgresPlace, 'data', 'postmaster.pid');
      return Number(readFileSync(pidFile, 'utf8').split('\n')[0]);
    } catch {
      return undefined; // it is not up
    }
  }
}

function started<T>(part: T | undefined): T {
  if (part === undefined) throw new Error('the rig is not up yet');
  return part;
}
