/** Runs one case folder through the command and scores what it wrote, before and after its doubts are answered. */
import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { answered } from '../score/answered.js';
import { IDENTITY } from '../score/rigid-align.js';
import type { RubbingResult, RubbingScore, RubbingTruth } from '../score/rubbing-result.js';
import { type DoubtScore, placedResult, scoreDoubts } from '../score/score-doubts.js';
import { resultPlacement, scoreRubbing } from '../score/score-rubbing.js';

const local = (path: string): string => fileURLToPath(new URL(`../../../${path}`, import.meta.url));

/** The command from its sources, so that a measurement is never of an older build. */
const MULLION = ['--import', local('test/run-source.mjs'), local('apps/cli/src/main.ts')];

export interface CaseRun {
  refusal?: string;
  result: RubbingResult;
  seconds?: number;
  cpuSeconds?: number;
  peakRssMib?: number;
}

export interface CaseScore {
  /** Why there is no result, in the command's words. */
  refusal?: string;
  score: RubbingScore;
  /** When the doubts are answered. */
  answered: RubbingScore;
  doubts: DoubtScore;
  megapixels?: number;
  seconds?: number;
  cpuSeconds?: number;
  peakRssMib?: number;
}

/** @throws Error when the command was used wrongly: that is the bench's fault, not the case's */
export function runCase(folder: string): CaseRun {
  const resultPath = join(tmpdir(), `mullion-result-${process.pid}.json`);
  const run = spawnSync(process.execPath, [...MULLION, 'case', folder, resultPath], {
    encoding: 'utf8',
    env: { ...process.env, NODE_OPTIONS: '' },
  });
  if (run.status !== 0 && run.status !== 1) {
    throw new Error(`${folder}: ${run.stderr}${run.error?.message ?? ''}`);
  }
  if (run.status === 1) {
    const refusal = run.stderr.trim().split('\n').at(-1) ?? 'refused without a word';
    // A refusal found nothing: it is scored so.
    return { refusal, result: {} };
  }
  const written = JSON.parse(readFileSync(resultPath, 'utf8')) as {
    rubbing: RubbingResult;
    seconds: number;
    cpu_seconds: number;
    peak_rss_mib: number;
  };
  rmSync(resultPath);
  return {
    result: written.rubbing,
    seconds: written.seconds,
    cpuSeconds: written.cpu_seconds,
    peakRssMib: written.peak_rss_mib,
  };
}

export function readTruth(folder: string): RubbingTruth {
  return JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')) as RubbingTruth;
}

export function scoreRun(truth: RubbingTruth, { result, ...run }: CaseRun): CaseScore {
  const rigid = run.refusal === undefined ? resultPlacement(truth, result) : IDENTITY;
  const fixed = { ...truth, align: 'none' };
  return {
    ...run,
    score: scoreRubbing(truth, result),
    answered: scoreRubbing(
      fixed,
      run.refusal === undefined ? answered(fixed, placedResult(result, rigid)) : {},
    ),
    doubts: scoreDoubts(truth, result, rigid),
  };
}
