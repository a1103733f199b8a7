/**
 * One case in a process of its own: `case-worker.ts FOLDER [RECIPE.json]` makes the case when the folder lacks it,
 * reads it twice (the second time with its clicks moved) and prints the outcome as one line of JSON.
 */
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import type { CaseRecipe } from '../generator/recipe.js';
import { writeCase } from '../generator/write-case.js';
import { compareReadings, type Repeat, withMovedClicks } from './moved-clicks.js';
import { ordinaryRun } from './ordinary.js';
import { type CaseScore, readTruth, runCase, scoreRun } from './run-case.js';

export interface WorkerTask {
  folder: string;
  recipe?: CaseRecipe;
  /** Read again with every click moved by a pixel. */
  repeat: boolean;
  /** Python of the ordinary pipeline, where it is to run beside ours. */
  python?: string;
}

export interface WorkerOutcome extends CaseScore {
  repeat?: Repeat;
  ordinary?: CaseScore;
}

const task = JSON.parse(process.argv[2]!) as WorkerTask;
if (!existsSync(join(task.folder, 'truth.json'))) await writeCase(task.recipe!, task.folder);
const truth = readTruth(task.folder);
const run = runCase(task.folder);
const outcome: WorkerOutcome = { ...scoreRun(truth, run), megapixels: await megapixels() };
if (task.repeat && run.refusal === undefined) {
  const moved = withMovedClicks(task.folder);
  if (moved !== undefined) {
    const again = runCase(moved);
    outcome.repeat =
      again.refusal === undefined
        ? compareReadings(run.result, again.result)
        : { numbersChanged: run.result.pieces?.length ?? 0, shiftMm: Infinity };
    rmSync(moved, { recursive: true });
  }
}
if (task.python !== undefined) {
  const ordinary = ordinaryRun(task.python, task.folder);
  if (ordinary !== undefined) outcome.ordinary = scoreRun(truth, ordinary);
}
process.stdout.write(`${JSON.stringify(outcome)}\n`);

async function megapixels(): Promise<number> {
  const { images } = JSON.parse(readFileSync(join(task.folder, 'input.json'), 'utf8')) as {
    images: { image: string }[];
  };
  let sum = 0;
  for (const { image } of images) {
    const { width, height } = await sharp(join(task.folder, image)).metadata();
    sum += (width * height) / 1e6;
  }
  return sum;
}
