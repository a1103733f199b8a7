import { type ChildProcess, execFile, fork } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { promisify } from 'node:util';
import type { DecodeReply, DecodeRequest } from './decode-protocol.js';
import { ImagingError } from './imaging-error.js';

export interface DecodePoolOptions {
  /** file that Node runs as the decoding process */
  script: string;
  execArgv?: readonly string[];
  /** processes at once; each holds one picture */
  concurrency: number;
}

/** A process is replaced after so many tasks, so that nothing leaks for ever. */
const TASKS_PER_PROCESS = 200;
/** An idle process that still holds this much is replaced. */
const IDLE_MIB = 400;
const WATCH_MS = 50;
const IDLE_EXIT_MS = 60_000;

interface Seat {
  child: ChildProcess;
  tasks: number;
  idleTimer: NodeJS.Timeout | undefined;
}

/**
 * Runs decoding tasks in processes of their own, with a wall-time and a memory limit each. A
 * process that crashes, hangs or grows costs the task it was on; the next task gets a new one.
 */
export class DecodePool {
  private readonly idle: Seat[] = [];
  private readonly waiting: (() => void)[] = [];
  private readonly live = new Set<ChildProcess>();
  private running = 0;
  private closed = false;

  constructor(private readonly options: DecodePoolOptions) {}

  /**
   * @throws {ImagingError} what the task answered, or how its process ended
   * @throws {Error} with the system's `code`, e.g. ENOSPC, when the machine failed and not the file
   */
  async run(request: DecodeRequest): Promise<unknown> {
    await this.enter();
    let freed = Promise.resolve();
    try {
      if (this.closed) throw new Error('the decoding processes are closed');
      const seat = this.takeSeat();
      const reply = await this.ask(seat, request);
      // whoever asked need not wait while it is looked after; the next in the row does
      freed = this.giveBack(seat);
      if (reply.ok) return reply.answer;
      if (reply.fault === 'bug')
        throw new Error(`decoding failed by a fault of ours: ${reply.message}`);
      if (reply.fault === 'machine')
        throw Object.assign(new Error(reply.message), { code: reply.code });
      throw new ImagingError(reply.fault, reply.message);
    } finally {
      void freed.finally(() => {
        this.leave();
      });
    }
  }

  /** Ends all processes; tasks under way fail. */
  close(): void {
    this.closed = true;
    for (const child of this.live) child.kill('SIGKILL');
  }

  private async enter(): Promise<void> {
    if (this.running < this.options.concurrency) {
      this.running++;
      return;
    }
    await new Promise<void>((resolve) => this.waiting.push(resolve));
  }

  private leave(): void {
    const next = this.waiting.shift();
    if (next === undefined) this.running--;
    else next();
  }

  private takeSeat(): Seat {
    const seat = this.idle.pop();
    if (seat !== undefined) {
      clearTimeout(seat.idleTimer);
      return seat;
    }
    const child = fork(this.options.script, [], {
      execArgv: [...(this.options.execArgv ?? [])],
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
      // nothing of the server's environment (database, keys) is handed to a decoder
      env: { PATH: process.env['PATH'] },
    });
    this.live.add(child);
    child.on('exit', () => this.live.delete(child));
    child.on('error', () => undefined); // told by 'exit' or by the send below
    return { child, tasks: 0, idleTimer: undefined };
  }

  private async giveBack(seat: Seat): Promise<void> {
    seat.tasks++;
    const { child } = seat;
    const isSpent = this.closed || !child.connected || seat.tasks >= TASKS_PER_PROCESS;
    if (isSpent || (await residentMiB(child.pid)) > IDLE_MIB) {
      child.kill('SIGKILL');
      return;
    }
    seat.idleTimer = setTimeout(() => {
      this.idle.splice(this.idle.indexOf(seat), 1);
      child.kill('SIGKILL');
    }, IDLE_EXIT_MS);
    seat.idleTimer.unref();
    child.unref();
    child.channel?.unref();
    this.idle.push(seat);
  }

  private ask({ child }: Seat, request: DecodeRequest): Promise<DecodeReply> {
    const { maxMs, maxMemoryMiB } = request.limits;
    child.ref();
    child.channel?.ref();
    return new Promise((resolve, reject) => {
      let ending: ImagingError | undefined;
      const endWith = (error: ImagingError): void => {
        ending ??= error;
        child.kill('SIGKILL');
      };
      const clock = setTimeout(() => {
        endWith(
          new ImagingError(
            'decoder-too-slow',
            `Reading the picture took longer than ${Math.round(maxMs / 1000)} s and was stopped. Save it anew as TIFF or JPEG and send that.`,
          ),
        );
      }, maxMs);
      const watch = setInterval(() => {
        void residentMiB(child.pid).then((mib) => {
          if (mib <= maxMemoryMiB) return;
          endWith(
            new ImagingError(
              'decoder-too-big',
              `Reading the picture needed more than ${maxMemoryMiB} MiB of memory and was stopped. Send a smaller scan.`,
            ),
          );
        });
      }, WATCH_MS);
      const onMessage = (reply: DecodeReply): void => {
        release();
        resolve(reply);
      };
      const onExit = (code: number | null, signal: string | null): void => {
        release();
        reject(
          ending ??
            new ImagingError(
              'decoder-crashed',
              `The picture made its decoder fail (${signal ?? `exit ${code ?? '?'}`}). Save it anew as TIFF or JPEG and send that.`,
            ),
        );
      };
      const release = (): void => {
        clearTimeout(clock);
        clearInterval(watch);
        child.off('message', onMessage);
        child.off('exit', onExit);
      };
      child.once('message', onMessage);
      child.once('exit', onExit);
      // a failed send is a process that is gone: 'exit' tells
      child.send(request, () => undefined);
    });
  }
}

const PAGE_BYTES = 4096;
const exec = promisify(execFile);

/** Resident memory of a process; 0 when it is gone. */
async function residentMiB(pid: number | undefined): Promise<number> {
  if (pid === undefined) return 0;
  if (process.platform === 'linux') {
    const statm = await readFile(`/proc/${pid}/statm`, 'latin1').catch(() => '');
    return (Number(statm.split(' ')[1] ?? 0) * PAGE_BYTES) / 2 ** 20;
  }
  const ps = await exec('ps', ['-o', 'rss=', '-p', String(pid)]).catch(() => ({ stdout: '0' }));
  return Number(ps.stdout.trim()) / 1024;
}
