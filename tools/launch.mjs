// Starts what makes up a running Mullion: the database of a home, the server and the worker, each a
// process of its own, and stops them together. Runs on the built dist/.
import { fork } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { root, say } from './bootstrap.mjs';

const HOST = '127.0.0.1';
const FIRST_PORT = 4173;
const STOP_LIMIT_MS = 12_000;
const WORKER_RESTARTS = 5;

const USAGE = `npm start -- [--demo] [--lan] [--port N]
  --demo     look round the demo studio: an archive of its own that may be thrown away
  --lan      phones on the workshop's network reach it too, over TLS; see "On the phone" in README.md
  --port N   listen on this port; without it ${FIRST_PORT}, or the next one that is free
MULLION_HOME names the folder of the archive (default: the user's data folder).`;

/** A failure whose message is all that a person needs to read. */
class Refusal extends Error {}
const FOR_PEOPLE = ['HomeFault', 'BackupFault'];

export async function launch(args) {
  const options = readOptions(args);
  if (options === undefined) return;
  const launcher = new Launcher(options);
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) {
    process.on(signal, () => void launcher.end(0));
  }
  process.on('disconnect', () => void launcher.end(0)); // the older Node that started us is gone
  followNpm(launcher);
  try {
    await launcher.open(options.demo);
  } catch (error) {
    if (!launcher.isEnding) console.error(wordsOf(error));
    await launcher.end(1);
  }
}

function wordsOf(error) {
  const isForPeople = error instanceof Refusal || FOR_PEOPLE.includes(error.name);
  return isForPeople ? error.message : error;
}

class Launcher {
  #running; // { home, database, server, worker }
  #ending;
  #port;
  #token = randomBytes(24).toString('base64url');
  #opening = Promise.resolve();

  constructor({ port, lan }) {
    this.wantedPort = port;
    this.lan = lan;
  }

  /** Opens the archive or the demo; the other one is closed before. */
  open(demo) {
    this.#opening = this.#opening.then(() => this.#open(demo));
    return this.#opening;
  }

  async #open(demo) {
    await this.#close();
    if (this.#ending) return;
    const { defaultHomePath, openHome, startArchiveDatabase } = await import(
      '../dist/libs/db/src/launch-door.js'
    );
    const home = opened(openHome, defaultHomePath(process.env, { demo }), demo);
    this.#running = { home };
    const database = await startArchiveDatabase(home, {
      beforeMigrations: (url, missing) => copyBeforeMigrations(home, url, missing),
    });
    this.#running.database = database;
    void database.ended.then((sentence) => this.#crashed(database, sentence));
    if (this.#ending) return;

    this.#port ??= await freePort(this.wantedPort);
    const env = this.#environment(home, database, demo);
    const server = this.#child('apps/server/src/main.js', env);
    this.#running.server = server;
    const { url, phones } = await readyServer(server);
    server.once('exit', (code, signal) => {
      this.#crashed(
        server,
        `The server ended unasked (${signal ?? code}); its last words are above.`,
      );
    });
    this.#running.worker = this.#startWorker(env);
    writeFileSync(addressFile(home.path), url, { mode: 0o600 });
    this.#tell(url, phones, home, demo);
    server.on('message', (message) => {
      if (message?.kind !== 'switch-home') return;
      void this.open(message.to === 'demo').catch((error) => {
        console.error(wordsOf(error));
        return this.end(1);
      });
    });
    // beside: one may leave the demo while it is still being filled
    if (demo) void this.#fillDemo(env, home);
  }

  get isEnding() {
    return this.#ending !== undefined;
  }

  /** Closes everything and ends this process; a second call waits for the first. */
  end(code) {
    this.#ending ??= (async () => {
      if (this.#running?.server) say('Stopping.');
      await this.#close();
      process.exit(code);
    })();
    return this.#ending;
  }

  async #close() {
    const running = this.#running;
    this.#running = undefined;
    if (running === undefined) return;
    await Promise.all([ended(running.filler), ended(running.server), ended(running.worker)]);
    await running.database?.stop();
    rmSync(addressFile(running.home.path), { force: true });
    running.home.release();
  }

  #crashed(part, sentence) {
    const running = this.#running;
    if (running === undefined || !Object.values(running).includes(part)) return; // we closed it
    console.error(sentence);
    void this.end(1);
  }

  #startWorker(env, restarts = 0) {
    const worker = this.#child('apps/worker/src/main.js', env);
    worker.once('exit', (code, signal) => {
      if (this.#running?.worker !== worker) return;
      if (restarts === WORKER_RESTARTS) {
        console.error(
          'The worker keeps ending; see its messages above. Pictures and rubbings wait until the next start.',
        );
        return;
      }
      console.error(
        `The worker ended (${signal ?? code}) and is started again; its jobs are taken up where they were.`,
      );
      setTimeout(
        () => {
          if (this.#running?.worker === worker)
            this.#running.worker = this.#startWorker(env, restarts + 1);
        },
        1000 * 2 ** restarts,
      );
    });
    return worker;
  }

  #child(script, env) {
    return fork(join(root, 'dist', script), {
      env,
      cwd: root,
      // a session of its own: Ctrl-C reaches this launcher only, which stops its parts in order
      detached: true,
      execArgv: [
        '--import',
        join(root, 'tools', 'follow-parent.mjs'),
        '--disable-warning=ExperimentalWarning',
      ],
    });
  }

  #environment(home, database, demo) {
    return {
      ...process.env,
      DATABASE_URL: database.applicationUrl,
      MULLION_HOME: home.path,
      MULLION_HOST: HOST,
      MULLION_PORT: String(this.#port),
      MULLION_DEMO: demo ? '1' : '0',
      ...(this.lan ? { MULLION_LAN: '1' } : {}),
      MULLION_KEY_FILE: home.keyFile,
      MULLION_ONE_TIME_TOKEN_DIGEST: createHash('sha256').update(this.#token).digest('hex'),
      MULLION_STUDIO_DIR: process.env.MULLION_STUDIO_DIR ?? join(root, 'dist', 'apps', 'studio'),
    };
  }

  async #fillDemo(env, home) {
    const mark = join(home.path, 'demo-filled');
    if (existsSync(mark)) return;
    say('The demo is being filled by the same steps a studio takes; this takes a minute or two.');
    const filler = this.#child('apps/worker/src/fill-demo-main.js', env);
    if (this.#running) this.#running.filler = filler;
    const [code] = await once(filler, 'exit');
    if (code === 0) {
      writeFileSync(mark, `${new Date().toISOString()}\n`, { mode: 0o600 });
      say('The demo is complete.');
    } else if (this.#running?.filler === filler) {
      console.error(
        'The demo could not be filled; the messages above say why. What is there can be looked at.',
      );
    }
  }

  #tell(url, phones, home, demo) {
    say(`
Mullion is running${demo ? ' with the demo' : ''}.

  Open       ${url}/#welcome=${this.#token}
             The link signs in once. Afterwards use ${url}
  Archive    ${home.path}${sayPhones(phones)}
  Stop       Ctrl-C
`);
  }
}

/** Where phones reach it, and what to compare before they trust it. */
function sayPhones(phones) {
  if (phones === null) return '';
  const { origin, authorityFingerprint } = phones;
  const compare =
    authorityFingerprint === null
      ? ''
      : `
             Before a phone trusts the certificate of this workshop, compare:
             ${authorityFingerprint}`;
  return `
  Phones     ${origin}
             The studio shows the codes: your name, then "Phones".${compare}`;
}

/** Before the tables of an archive change, its database is copied beside it. */
async function copyBeforeMigrations(home, applicationUrl, missing) {
  say('The tables of the archive are brought up to date; its database is copied first.');
  const [{ copyBeforeChange }, { RowCopies }] = await Promise.all([
    import('../dist/libs/archive/src/index.js'),
    import('../dist/libs/db/src/index.js'),
  ]);
  const copy = await copyBeforeChange(
    {
      homePath: home.path,
      keyFile: home.keyFile,
      isDemo: home.isDemo,
      moment: () => RowCopies.ofMoment(applicationUrl),
    },
    missing[0],
  );
  if (copy !== undefined) say(`The copy is ${copy}; mullion admin restore takes it.`);
}

/** Opens a home; where another Mullion has it open, its address is told with the refusal. */
function opened(openHome, path, demo) {
  try {
    return openHome(path, { demo });
  } catch (error) {
    const file = addressFile(path);
    if (error.fault === 'home-in-use' && existsSync(file)) {
      error.message += ` It answers at ${readFileSync(file, 'utf8')}`;
    }
    throw error;
  }
}

function addressFile(homePath) {
  return join(homePath, 'address');
}

function readOptions(args) {
  try {
    const { values } = parseArgs({
      args,
      options: {
        demo: { type: 'boolean', default: false },
        lan: { type: 'boolean', default: false },
        port: { type: 'string' },
        help: { type: 'boolean' },
      },
    });
    if (values.help) return void say(USAGE);
    const port = values.port === undefined ? undefined : Number(values.port);
    if (port !== undefined && !(Number.isInteger(port) && port >= 0 && port < 65_536)) {
      throw new Error(`--port ${values.port} is not a port number (0 to 65535).`);
    }
    return { demo: values.demo, lan: values.lan, port };
  } catch (error) {
    console.error(`${error.message}\n${USAGE}`);
    process.exitCode = 2;
    return undefined;
  }
}

/** npm killed outright leaves its script without a parent: then we end as well. */
function followNpm(launcher) {
  if (process.env.npm_lifecycle_event === undefined) return;
  const parent = process.ppid;
  setInterval(() => {
    if (process.ppid !== parent) void launcher.end(0);
  }, 1000).unref();
}

/** @param wanted undefined: the usual port or one of the next; 0: any */
async function freePort(wanted) {
  if (wanted !== undefined) {
    const port = await tryPort(wanted);
    if (port === undefined) {
      throw new Refusal(
        `Port ${wanted} is taken by another program. Choose another: npm start -- --port ${wanted + 1}`,
      );
    }
    return port;
  }
  for (let port = FIRST_PORT; port < FIRST_PORT + 50; port++) {
    if ((await tryPort(port)) !== undefined) return port;
  }
  return tryPort(0);
}

function tryPort(port) {
  return new Promise((resolve) => {
    const probe = createServer();
    probe.once('error', () => resolve(undefined));
    probe.listen(port, HOST, () => {
      const found = probe.address().port;
      probe.close(() => resolve(found));
    });
  });
}

/** The server tells its address when it answers; one that ends before is a failure. */
function readyServer(server) {
  return new Promise((resolve, reject) => {
    server.on('message', (message) => {
      if (message?.kind !== 'ready') return;
      resolve({ url: message.url.replace(/\/$/, ''), phones: message.phones ?? null });
    });
    server.once('exit', () =>
      reject(new Refusal('The server could not start; it says why above.')),
    );
  });
}

/** Asks a process to end and waits; one that does not is killed. */
async function ended(child) {
  if (child === undefined || child.exitCode !== null || child.signalCode !== null) return;
  const exit = once(child, 'exit');
  child.kill('SIGTERM');
  const timer = setTimeout(() => child.kill('SIGKILL'), STOP_LIMIT_MS);
  await exit;
  clearTimeout(timer);
}
