import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { rubbingCase } from './case-rubbing.js';
import { shardsCase } from './case-shards.js';
import type { Command, Output } from './command.js';
import { EXIT } from './exit-codes.js';
import { readArguments } from './read-arguments.js';
import { readJson } from './read-json.js';
import { Refusal } from './refusal.js';

const HELP = `mullion case DIR RESULT.json

Runs one case folder (input.json, pictures, clicks.json; form in fixtures/case-format.md) through the
same code as the worker and writes the neutral result. Tasks "rubbing" and "shards" are handled.

exit 0  written     1  the case cannot support an answer     2  wrong usage     7  a task not handled yet
`;

type Task = (
  folder: string,
  input: unknown,
  output: Output,
) => Promise<{ result: object; say: string }>;

const TASKS = new Map<string | undefined, Task>([
  ['rubbing', rubbingCase],
  ['shards', shardsCase],
]);

async function run(args: readonly string[], output: Output) {
  const { positionals } = readArguments(args, {} as const, ['DIR', 'RESULT.json']);
  const [folder, resultPath] = positionals as [string, string];
  const input = await readJson(join(folder, 'input.json'));
  const task = z.object({ task: z.string() }).safeParse(input).data?.task;
  const runTask = TASKS.get(task);
  if (runTask === undefined) {
    throw new Refusal(
      `Task ${task ?? '(none given)'} is not handled yet: rubbing and shards are.`,
      EXIT.taskUnknown,
    );
  }
  const started = performance.now();
  const cpuBefore = process.cpuUsage();
  const { result, say } = await runTask(folder, input, output);
  const seconds = (performance.now() - started) / 1000;
  const { user, system } = process.cpuUsage(cpuBefore);
  const cost = {
    seconds,
    // this process's own work: decoding happens in a process apart
    cpu_seconds: (user + system) / 1e6,
    peak_rss_mib: await peakRssMib(),
  };
  await writeFile(resultPath, `${JSON.stringify({ ...result, ...cost })}\n`);
  output.note(`${folder}: ${say} in ${seconds.toFixed(1)} s`);
  return EXIT.ok;
}

/** Largest resident size of this process so far; the kernel's count where it gives one. */
async function peakRssMib(): Promise<number> {
  try {
    const kib = /VmHWM:\s+(\d+) kB/.exec(await readFile('/proc/self/status', 'utf8'))?.[1];
    if (kib !== undefined) return Number(kib) / 1024;
  } catch {
    // no /proc here: the size now is the best there is
  }
  return process.memoryUsage.rss() / 1024 ** 2;
}

export const caseCommand: Command = {
  help: HELP,
  run,
};
