/** The ordinary pipeline (ordinary.py, scikit-image) on the same case, scored by the same scorer. */
import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { RubbingResult } from '../score/rubbing-result.js';
import type { CaseRun } from './run-case.js';

const SCRIPT = fileURLToPath(new URL('ordinary.py', import.meta.url));

/** Numerical libraries of Python use as many cores as they find; here they get one. */
export const ONE_CORE = {
  OMP_NUM_THREADS: '1',
  OPENBLAS_NUM_THREADS: '1',
  MKL_NUM_THREADS: '1',
};

/** @returns undefined for a case that the ordinary pipeline is not made for */
export function ordinaryRun(python: string, folder: string): CaseRun | undefined {
  const input = JSON.parse(readFileSync(join(folder, 'input.json'), 'utf8')) as {
    images: { control: { kind: string } }[];
    face?: string;
  };
  if (input.images.length !== 1 || input.images[0]!.control.kind !== 'control_points') {
    return undefined;
  }
  if (input.face === 'outside') return undefined;
  const path = join(tmpdir(), `mullion-ordinary-${process.pid}.json`);
  const run = spawnSync(python, [SCRIPT, folder, path], {
    encoding: 'utf8',
    env: { ...process.env, ...ONE_CORE },
  });
  if (run.status !== 0) throw new Error(`ordinary.py: ${run.stderr}`);
  const written = JSON.parse(readFileSync(path, 'utf8')) as {
    rubbing: RubbingResult;
    seconds: number;
    cpu_seconds: number;
    peak_rss_mib: number;
  };
  rmSync(path);
  return {
    result: written.rubbing,
    seconds: written.seconds,
    cpuSeconds: written.cpu_seconds,
    peakRssMib: written.peak_rss_mib,
  };
}
