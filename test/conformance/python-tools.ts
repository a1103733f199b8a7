/** Validators and peers from the Python package index in environments of their own, kept in the user's cache. */
import { type SpawnSyncReturns, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';

/**
 * bagit: public domain (CC0). openapi-spec-validator: Apache-2.0. jsonschema, ezdxf: MIT. shapely: BSD-3-Clause.
 * pypdfium2: Apache-2.0. numpy, scikit-image, SciPy: BSD-3-Clause. OpenCV: Apache-2.0. All only run here, nothing
 * links them.
 */
const VALIDATORS = [
  'bagit==1.9.0',
  'openapi-spec-validator==0.9.0',
  'jsonschema==4.26.0',
  'ezdxf==1.4.5',
  'shapely==2.2.0',
  'pypdfium2==5.15.2',
  'numpy==2.3.4',
];
const PEERS = [
  'numpy==2.3.4',
  'pillow==13.0.0',
  'scipy==1.17.1',
  'scikit-image==0.26.0',
  'opencv-python-headless==5.0.0.93',
];

/** Judges of what we write. @returns the environment's Python @throws Error when it cannot be had */
export const validatorPython = (): string => pythonWith('validators', VALIDATORS);

/** Image libraries that do what ours do. @returns the environment's Python @throws Error when it cannot be had */
export const peerPython = (): string => pythonWith('peers', PEERS);

/** The check must not pass when the tools cannot be had. */
function pythonWith(name: string, packages: readonly string[]): string {
  const version = createHash('sha256').update(packages.join(' ')).digest('hex').slice(0, 12);
  const cache = process.env['XDG_CACHE_HOME'] ?? join(homedir(), '.cache');
  const folder = join(cache, 'mullion', `${name}-${version}`);
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
    ['-m', 'pip', 'install', '--quiet', '--disable-pip-version-check', ...packages],
    `the ${name} could not be installed`,
  );
  writeFileSync(complete, `${packages.join('\n')}\n`);
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
