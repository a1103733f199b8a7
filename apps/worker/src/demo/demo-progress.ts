import { randomUUID } from 'node:crypto';
import { Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';

/** Queue name under which the server looks for the demo's progress (GET /v1/state). */
const DEMO_QUEUE = 'demo.seed';

/** What people see while the demo is being filled. */
export class DemoProgress {
  readonly #tx: Tx;
  readonly #jobId = randomUUID();

  constructor(pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  /** @param personId who asks: in the demo, its first keeper */
  async begin(personId: string): Promise<void> {
    await this.#tx.run(
      `INSERT INTO job_progress (job_id, queue, state, stage, ratio, asked_by, asked_at, changed_at)
       VALUES ($1, $2, 'running', 'the chapel and its windows', 0, $3, now(), now())`,
      [this.#jobId, DEMO_QUEUE, personId],
    );
  }

  async step(stage: string, ratio: number): Promise<void> {
    await this.#tx.run(
      'UPDATE job_progress SET stage = $2, ratio = $3, changed_at = now() WHERE job_id = $1',
      [this.#jobId, stage, ratio],
    );
  }

  /** The demo opens; what is still to come arrives while people look round. */
  async open(): Promise<void> {
    await this.#tx.run(
      `UPDATE job_progress SET state = 'done', ratio = 1, changed_at = now() WHERE job_id = $1`,
      [this.#jobId],
    );
  }
}
