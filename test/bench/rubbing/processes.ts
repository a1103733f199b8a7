/** Tasks in processes of their own, so many at a time. */
import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { WorkerOutcome, WorkerTask } from './case-worker.js';

const local = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** @throws Error with what the process said when it fails */
export function inProcess(task: WorkerTask): Promise<WorkerOutcome> {
  return new Promise((resolve, reject) => {
    const child = spawn(
      process.execPath,
      ['--import', local('../../run-source.mjs'), local('case-worker.ts'), JSON.stringify(task)],
      { stdio: ['ignore', 'pipe', 'pipe'] },
    );
    let out = '';
    let err = '';
    child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
    child.on('error', reject);
    child.on('close', (status) => {
      if (status === 0) resolve(JSON.parse(out) as WorkerOutcome);
      else reject(new Error(`${task.folder}: ${err || `status ${status ?? 'none'}`}`));
    });
  });
}

/** Results in the order of the items. */
export async function inTurns<T, R>(
  items: readonly T[],
  atATime: number,
  work: (item: T) => Promise<R>,
): Promise<R[]> {
  const results = new Array<R>(items.length);
  let next = 0;
  const turn = async (): Promise<void> => {
    while (next < items.length) {
      const i = next++;
      results[i] = await work(items[i]!);
    }
  };
  await Promise.all(Array.from({ length: atATime }, turn));
  return results;
}
