/** Runs one case folder through the built command and scores what it wrote. */
import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { IDENTITY } from './score/rigid-align.js';
import type { RubbingResult, RubbingScore, RubbingTruth } from './score/rubbing-result.js';
import { type DoubtScore, scoreDoubts } from './score/score-doubts.js';
import { resultPlacement, scoreRubbing } from './score/score-rubbing.js';

const MULLION = fileURLToPath(new URL('../../tools/mullion.mjs', import.meta.url));

export interface CaseOutcome {
  name: string;
  /** Why there is no result, in the command's words. */
  refusal?: string;
  score: RubbingScore;
  doubts: DoubtScore;
  seconds?: number;
  cpuSeconds?: number;
  peakRssMib?: number;
}

export function runCase(name: string, folder: string): CaseOutcome {
  const resultPath = join(tmpdir(), `mullion-result-${process.pid}.json`);
  const run = spawnSync(process.execPath, [MULLION, 'case', folder, resultPath], {
    encoding: 'utf8',
  });
  if (run.status === 2) throw new Error(run.stderr);
  const truth = JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')) as RubbingTruth;
  if (run.status !== 0) {
    const refusal = run.stderr.trim().split('\n').at(-1) ?? `status ${run.status ?? 'none'}`;
    // A refusal found nothing: it is scored so.
    return {
      name,
      refusal,
      score: scoreRubbing(truth, {}),
      doubts: scoreDoubts(truth, {}, IDENTITY),
    };
  }
  const written = JSON.parse(readFileSync(resultPath, 'utf8')) as {
    rubbing: RubbingResult;
    seconds: number;
    cpu_seconds: number;
    peak_rss_mib: number;
  };
  rmSync(resultPath);
  return {
    name,
    score: scoreRubbing(truth, written.rubbing),
    doubts: scoreDoubts(truth, written.rubbing, resultPlacement(truth, written.rubbing)),
    seconds: written.seconds,
    cpuSeconds: written.cpu_seconds,
    peakRssMib: written.peak_rss_mib,
  };
}
