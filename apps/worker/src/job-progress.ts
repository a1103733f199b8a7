import type { Tx } from '#libs/archive';
import { type Problem, problemBody } from '#libs/problem';

/** A person does not read faster; each step is a small transaction. */
const EVERY_MS = 250;

/** The row in which one job tells how far it is. */
export class JobProgress {
  private lastAt = 0;
  private writing: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly tx: Tx,
    private readonly jobId: string,
  ) {}

  async started(): Promise<void> {
    await this.write(`state = 'running', stage = NULL, ratio = 0, problem = NULL`, []);
  }

  /** Kept back when the one before is less than a quarter second old. */
  step(stage: string, ratio: number): void {
    const now = Date.now();
    if (now - this.lastAt < EVERY_MS) return;
    this.lastAt = now;
    this.writing = this.writing
      .then(() => this.write('stage = $2, ratio = $3', [stage, Math.min(1, Math.max(0, ratio))]))
      .catch((error: unknown) => {
        // the work matters more than the news of it
        console.error(`progress of job ${this.jobId} was not written:`, error);
      });
  }

  async done(result: Record<string, unknown>): Promise<void> {
    await this.writing;
    await this.write(`state = 'done', ratio = 1, result = $2`, [JSON.stringify(result)]);
  }

  async failed(problem: Problem): Promise<void> {
    await this.writing;
    const body = problemBody(problem, `/jobs/${this.jobId}`);
    await this.write(`state = 'failed', problem = $2`, [JSON.stringify(body)]);
  }

  /** It will be tried again. */
  async waitsAgain(): Promise<void> {
    await this.writing;
    await this.write(`state = 'waiting', stage = NULL, ratio = 0`, []);
  }

  private async write(set: string, values: readonly unknown[]): Promise<void> {
    await this.tx.run(`UPDATE job_progress SET ${set}, changed_at = now() WHERE job_id = $1`, [
      this.jobId,
      ...values,
    ]);
  }
}
