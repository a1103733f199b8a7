/** Where the scrub that is under way stands, in one row: any process goes on with it, one at a time. */
import { randomUUID } from 'node:crypto';
import { z } from 'zod';
import { uuidV7 } from '../id.js';
import type { Tx } from '../tx.js';
import { STORE_NAMES, troubleSchema } from './trouble.js';

/** A process that said nothing for so long is taken to be gone. */
const SILENT_S = 120;

const foundSchema = z.object({
  objects: z.number(),
  sizeBytes: z.number(),
  checkpoints: z.number(),
  /** those read from beginning to end */
  stores: z.array(z.enum(STORE_NAMES)),
  troubleCount: z.number(),
  mendedCount: z.number(),
  /** the first of them, see {@link TROUBLES_MAX} */
  troubles: z.array(troubleSchema),
});
export type Found = z.infer<typeof foundSchema>;

/** A store that is lost as a whole is told by its count; the first so many are told by name. */
export const TROUBLES_MAX = 2000;

export class ScrubRun {
  private constructor(
    private readonly tx: Tx,
    private readonly holder: string,
    readonly scrubId: string,
    readonly startedAt: Date,
    public afterDigest: string | null,
    readonly found: Found,
  ) {}

  /** Goes on with what is under way or begins anew; undefined while another process is at it. */
  static async take(tx: Tx): Promise<ScrubRun | undefined> {
    const holder = randomUUID();
    const empty: Found = {
      objects: 0,
      sizeBytes: 0,
      checkpoints: 0,
      stores: [...STORE_NAMES],
      troubleCount: 0,
      mendedCount: 0,
      troubles: [],
    };
    const row = await tx.first<{
      scrubId: string;
      startedAt: Date;
      afterDigest: string | null;
      found: unknown;
    }>(
      `INSERT INTO scrub_run (run, scrub_id, started_at, found, holder, touched_at)
       VALUES ('scrub', $1, now(), $2, $3, now())
       ON CONFLICT (run) DO UPDATE SET holder = EXCLUDED.holder, touched_at = now()
         WHERE scrub_run.touched_at < now() - make_interval(secs => $4)
       RETURNING scrub_id, started_at, after_digest, found`,
      [uuidV7(Date.now()), JSON.stringify(empty), holder, SILENT_S],
    );
    if (row === undefined) return undefined;
    const { scrubId, startedAt, afterDigest, found } = row;
    return new ScrubRun(tx, holder, scrubId, startedAt, afterDigest, foundSchema.parse(found));
  }

  static async isUnderWay(tx: Tx): Promise<boolean> {
    return (await tx.first("SELECT 1 FROM scrub_run WHERE run = 'scrub'")) !== undefined;
  }

  /** @throws Error when another process took it over */
  async save(): Promise<void> {
    const touched = await this.tx.run(
      `UPDATE scrub_run SET after_digest = $2, found = $3, touched_at = now()
       WHERE run = 'scrub' AND holder = $1`,
      [this.holder, this.afterDigest, JSON.stringify(this.found)],
    );
    if (touched === 0) throw new Error('another process went on with this scrub');
  }

  /** Says that this process is still at it, however long one object takes. */
  async touch(): Promise<void> {
    await this.tx.run(
      "UPDATE scrub_run SET touched_at = now() WHERE run = 'scrub' AND holder = $1",
      [this.holder],
    );
  }

  /** Another process may go on at once. */
  async release(): Promise<void> {
    await this.tx.run(
      `UPDATE scrub_run SET after_digest = $2, found = $3, touched_at = 'epoch'
       WHERE run = 'scrub' AND holder = $1`,
      [this.holder, this.afterDigest, JSON.stringify(this.found)],
    );
  }

  async end(): Promise<void> {
    await this.tx.run("DELETE FROM scrub_run WHERE run = 'scrub' AND scrub_id = $1", [
      this.scrubId,
    ]);
  }
}
