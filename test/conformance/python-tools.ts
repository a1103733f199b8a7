/** Validators from the Python package index in an environment of their own, kept in the user's cache. */
import { type SpawnSyncReturns, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';

/** bagit: public domain (CC0). openapi-spec-validator: Apache-2.0. Both only run here, nothing links them. */
const PACKAGES = ['bagit==1.9.0', 'openapi-spec-validator==0.9.0'];

/** @returns the environment's Python. @throws Error when it cannot be had: the check must not pass then */
export function validatorPython(): string {
  const version = createHash('sha256').update(PACKAGES.join(' ')).digest('hex').slice(0, 12);
  const cache = process.env['XDG_CACHE_HOME'] ?? join(homedir(), '.cache');
  const folder = join(cache, 'mullion', `validators-${version}`);
  const python = join(folder, 'bin', 'python');
  const complete = join(folder, 'complete');
  if (existsSync(complete) && existsSync(python)) return python;
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  must(
    'python3',
    ['-m', 'venv', folder],
    'Python 3 with venv is needed for the conformance checks',
  );
  must(
    python,
    ['-m', 'pip', 'install', '--quiet', '--disable-pip-version-check', ...PACKAGES],
    'the validators could not be installed',
  );
  writeFileSync(complete, `${PACKAGES.join('\n')}\n`);
  return python;
}

function must(command: string, args: readonly string[], trouble: string): void {
  const run = spawnSync(command, args, { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`${trouble}: ${outputOf(run)}`);
}

export function outputOf(run: SpawnSyncReturns<string>): string {
  return (
    `${run.stdout}${run.stderr}`.trim() || (run.error?.message ?? `status ${run.status ?? 'none'}`)
  );
}
