// npm test [-- path…]: every suite on a fresh clone, one after the other; ends with one plain line,
// `N passed, N failed`, over all of them. `--suites unit,api` runs only these.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { binOf, build, install, root, say, stop, useOwnNode } from './bootstrap.mjs';

install();
await useOwnNode(import.meta.url);

const ALL = ['unit', 'api', 'browser'];
/** Memory that a test process may come to, with its browser and its database beside it. */
const WORKER_BYTES = 3e9;
/**
 * One more than processors, as far as memory goes: a test waits for its database, its disk or its browser
 * in between.
 */
const WORKERS = Math.max(
  1,
  Math.min(availableParallelism() + 1, Math.floor(totalmem() / WORKER_BYTES)),
);
const { suites, paths, flags } = readArguments(process.argv.slice(2));

// A library's own tests run on its sources; everything else may need dist/.
if (paths.length === 0 || paths.some((path) => !/^(\.\/)?libs\//.test(path))) await build();

const reports = mkdtempSync(join(tmpdir(), 'mullion-reports-'));
const total = { passed: 0, failed: 0, pending: 0 };
const afterwards = [];
try {
  for (const suite of suites) {
    if (suite === 'browser' && !(await browserIsThere())) continue;
    await runSuite(suite);
  }
} finally {
  rmSync(reports, { recursive: true, force: true });
}
for (const sentence of afterwards) console.error(sentence);
if (total.passed + total.failed === 0) {
  console.error(`No test matches ${paths.join(' ')}.`);
  total.failed++;
}
if (total.pending > 0) say(`${total.pending} skipped`);
say(`${total.passed} passed, ${total.failed} failed`);
process.exit(total.failed === 0 ? 0 : 1);

async function runSuite(suite) {
  const report = join(reports, `${suite}.json`);
  const began = Date.now();
  const { status, signal } = spawnSync(
    process.execPath,
    [
      '--experimental-vm-modules',
      '--disable-warning=ExperimentalWarning',
      binOf('jest'),
      '--selectProjects',
      suite,
      `--maxWorkers=${WORKERS}`,
      '--json',
      `--outputFile=${report}`,
      ...(process.env.CI ? ['--ci'] : []),
      ...(paths.length > 0 ? ['--passWithNoTests'] : []),
      ...flags,
      ...(paths.length > 0 ? ['--', ...paths] : []),
    ],
    // Jest prints its summary to stderr; its report goes to the file, not to stdout
    {
      cwd: root,
      stdio: ['inherit', 'ignore', 'inherit'],
      env: { ...process.env, NODE_ENV: 'test' },
    },
  );
  const result = reportOf(report);
  say(`${suite}: ${((Date.now() - began) / 1000).toFixed(0)} s`);
  if (result === undefined) {
    afterwards.push(`The ${suite} tests ended without a report (${signal ?? status}).`);
    total.failed++;
    return;
  }
  total.passed += result.numPassedTests;
  total.pending += result.numPendingTests + result.numTodoTests;
  // a file that could not even be loaded counts as one failure
  const failed = result.numFailedTests + result.numRuntimeErrorTestSuites;
  total.failed += failed;
  if (status !== 0 && failed === 0) {
    afterwards.push(
      `The ${suite} tests ended with ${signal ?? status} although none of them failed.`,
    );
    total.failed++;
  }
}

function reportOf(path) {
  try {
    return JSON.parse(readFileSync(path, 'utf8'));
  } catch {
    return undefined;
  }
}

async function browserIsThere() {
  if (
    paths.length > 0 &&
    !paths.some((path) => /^(\.\/)?test(\/e2e.*)?$/.test(path.replace(/\/$/, '')))
  ) {
    return false;
  }
  const { findChromium, installChromium } = await import('./chromium.mjs');
  const program = findChromium() ?? installChromium();
  if (program === undefined) {
    afterwards.push(
      process.env.CHROMIUM
        ? `The browser tests did not run: CHROMIUM names ${process.env.CHROMIUM}, which is no program.`
        : 'The browser tests did not run: there is no Chromium here. An administrator runs: apt-get install chromium',
    );
    total.failed++;
    return false;
  }
  process.env.CHROMIUM = program;
  return true;
}

function readArguments(args) {
  const found = { suites: ALL, paths: [], flags: [] };
  for (let i = 0; i < args.length; i++) {
    if (args[i] === '--suites') {
      found.suites = (args[++i] ?? '').split(',');
      const unknown = found.suites.find((suite) => !ALL.includes(suite));
      if (unknown !== undefined) stop(`There is no suite "${unknown}": ${ALL.join(', ')}.`);
    } else if (args[i] === '-t' || args[i] === '--testNamePattern')
      found.flags.push(args[i], args[++i]);
    else if (args[i].startsWith('-')) found.flags.push(args[i]);
    else found.paths.push(args[i]);
  }
  return found;
}
