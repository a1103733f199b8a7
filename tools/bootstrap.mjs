// What `npm start` and `npm test` do before anything else: install, use the Node that npm brings,
// generate and build. Plain JavaScript without packages: it must run on Node 20 in a fresh clone.
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { constants } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = dirname(dirname(fileURLToPath(import.meta.url)));

const MIN_NODE_MAJOR = 22;
const BUILD_STAMP = join(root, 'dist', '.mullion-built');

/** Everything that dist/ is made from. */
const SOURCES = [
  'apps',
  'libs',
  'prisma/schema.prisma',
  'package.json',
  'package-lock.json',
  'tools/build-node.mjs',
  'tools/strip-types.mjs',
];

/** `npm ci` when node_modules is missing or holds other versions than the lock file. */
export function install() {
  if (isInstalled()) return;
  say('Installing the parts that Mullion is made of. This happens once and takes a minute or two.');
  const [command, ...before] = npmCommand();
  const { status, error } = spawnSync(
    command,
    [...before, 'ci', '--include=dev', '--loglevel=error'],
    {
      cwd: root,
      stdio: 'inherit',
      env: { ...process.env, NODE_ENV: '' },
    },
  );
  if (error)
    stop(`npm cannot be run (${error.message}). Install Node.js 22 or newer, which brings npm.`);
  if (status !== 0) {
    stop(
      'The installation did not finish; npm says why above. Check the network connection and start again.',
    );
  }
}

/** npm writes what it installed to node_modules/.package-lock.json, at the very end of an installation. */
function isInstalled() {
  const installed = textOf(join(root, 'node_modules', '.package-lock.json'));
  if (installed === undefined) return false;
  const found = JSON.parse(installed).packages;
  const wanted = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages;
  return Object.entries(wanted).every(
    ([path, { version, optional }]) =>
      path === '' || found[path]?.version === version || (optional && found[path] === undefined),
  );
}

/**
 * Runs the calling script again on node_modules/node (24) when this Node is older. Signals, exit
 * code and the end of this process are passed on. Resolves only when nothing had to be done.
 */
export async function useOwnNode(scriptUrl) {
  const own = join(root, 'node_modules', 'node', 'bin', 'node');
  if (Number.parseInt(process.versions.node, 10) >= MIN_NODE_MAJOR) return;
  if (!existsSync(own)) {
    stop(
      `This machine has Node.js ${process.versions.node}, Mullion needs ${MIN_NODE_MAJOR} or newer, and npm did not ` +
        'bring its own (is ignore-scripts set?). Install a newer Node.js and start again.',
    );
  }
  const child = spawn(own, [fileURLToPath(scriptUrl), ...process.argv.slice(2)], {
    stdio: ['inherit', 'inherit', 'inherit', 'ipc'],
    env: { ...process.env, PATH: `${dirname(own)}:${process.env.PATH ?? ''}` },
  });
  // A terminal sends Ctrl-C to the child too, `kill` only to us: twice does no harm.
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) {
    process.on(signal, () => child.kill(signal));
  }
  const [code, signal] = await new Promise((resolve) => {
    child.once('exit', (...how) => resolve(how));
    child.once('error', (error) => stop(`${own} cannot be run: ${error.message}.`));
  });
  process.exit(signal ? 128 + constants.signals[signal] : code);
}

/** Generates and builds when a source is not the one dist/ was made from. */
export async function build() {
  const wanted = digestOf(SOURCES);
  if (textOf(BUILD_STAMP) === wanted) return;
  say('Building. This happens once for each version and takes half a minute.');
  rmSync(BUILD_STAMP, { force: true });
  await run('prisma', ['generate'], { PRISMA_SCHEMA_ENGINE_BINARY: '/bin/true' });
  const jobs = [runFile('program', [join(root, 'tools', 'build-node.mjs')])];
  const vite = join('apps', 'studio', 'vite.config.ts');
  if (existsSync(join(root, vite))) jobs.push(run('vite', ['build', '-c', vite]));
  await Promise.all(jobs);
  mkdirSync(dirname(BUILD_STAMP), { recursive: true });
  writeFileSync(BUILD_STAMP, wanted);
}

/** Runs a program of node_modules/.bin. */
function run(name, args, env) {
  return runFile(name, [binOf(name), ...args], env);
}

/** Runs a script quietly; what it said is shown when it fails. */
async function runFile(name, args, env = {}) {
  const began = Date.now();
  const child = spawn(process.execPath, args, {
    cwd: root,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.setEncoding('utf8').on('data', (text) => (said += text));
  }
  const code = await new Promise((resolve, reject) => {
    child.once('close', resolve);
    child.once('error', reject);
  });
  if (code !== 0) stop(`${said}\nnode ${args.join(' ')} failed (${code}).`);
  say(`  ${name}: ${((Date.now() - began) / 1000).toFixed(1)} s`);
}

/** The JavaScript file behind a command of a package. */
export function binOf(name) {
  const { bin } = JSON.parse(
    readFileSync(join(root, 'node_modules', name, 'package.json'), 'utf8'),
  );
  return join(root, 'node_modules', name, typeof bin === 'string' ? bin : bin[name]);
}

export function say(sentence) {
  console.log(sentence);
}

/** Ends with a sentence for the person at the keyboard. */
export function stop(sentence) {
  console.error(sentence);
  process.exit(1);
}

function npmCommand() {
  const path = process.env.npm_execpath;
  return path?.endsWith('.js') ? [process.execPath, path] : ['npm'];
}

/** SHA-256 over names and bytes of files and folders. */
function digestOf(paths) {
  const hash = createHash('sha256');
  for (const path of paths.flatMap(filesOf)) {
    hash
      .update(`${path}\0`)
      .update(readFileSync(join(root, path)))
      .update('\0');
  }
  return hash.digest('hex');
}

function filesOf(path) {
  const entries = readdirSyncOrFile(path);
  return entries === undefined ? [path] : entries.flatMap((entry) => filesOf(`${path}/${entry}`));
}

/** Names in a folder in a fixed order; undefined for a file. Tests are no part of the build. */
function readdirSyncOrFile(path) {
  try {
    return readdirSync(join(root, path))
      .filter((name) => !/\.test\.tsx?$/.test(name))
      .sort();
  } catch (error) {
    if (error.code === 'ENOTDIR') return undefined;
    throw error;
  }
}

function textOf(path) {
  return existsSync(path) ? readFileSync(path, 'utf8') : undefined;
}
