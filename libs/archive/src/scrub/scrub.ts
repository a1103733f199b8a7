/**
 * Reads every object that the ledger names again, in each store, and hashes it; holds the copies of
 * checkpoints against the database; mends one store from the other; leaves one entry of it.
 */
import { storesOf, type TendedStore } from '#libs/objects';
import type { Archive } from '../archive.js';
import { recordScrub } from '../commands/scrubs.js';
import { PROGRAM_ACTOR } from '../id.js';
import type { ScrubRow } from '../rows.js';
import { putJson } from '../stored-json.js';
import { checkpointTroubles } from './check-checkpoints.js';
import { stateOf } from './check-object.js';
import { mendObject } from './mend-object.js';
import { Pace } from './pace.js';
import { type Found, ScrubRun, TROUBLES_MAX } from './scrub-run.js';
import { aboutObject, type StoreName, type Trouble } from './trouble.js';

export interface ScrubAsk {
  /** undefined: as fast as the stores give */
  readonly bytesPerS?: number | undefined;
  /** mends from the other store, from older versions, from the database */
  readonly isMending: boolean;
  readonly signal?: AbortSignal | undefined;
  /** stops after so long and can be gone on with */
  readonly maxMs?: number | undefined;
  readonly onTrouble?: (trouble: Trouble) => void;
  readonly onProgress?: (found: Found, ofObjects: number) => void;
}

export type ScrubOutcome =
  | { state: 'ended'; row: ScrubRow; found: Found }
  | { state: 'paused'; found: Found }
  /** another process is at it */
  | { state: 'busy' };

interface Named {
  digest: string;
  sizeBytes: number;
  role: string;
  isWithdrawn: boolean;
}

const PAGE = 100;
const SAVE_MS = 5_000;
const TOUCH_MS = 20_000;

export async function scrub(archive: Archive, ask: ScrubAsk): Promise<ScrubOutcome> {
  const run = await ScrubRun.take(archive.reads);
  if (run === undefined) return { state: 'busy' };
  const touching = setInterval(() => void run.touch().catch(() => undefined), TOUCH_MS);
  try {
    const isDone = await new Scrub(archive, ask, run).objects();
    if (!isDone) {
      await run.release();
      return { state: 'paused', found: run.found };
    }
    const row = await recorded(archive, run);
    await run.end();
    return { state: 'ended', row, found: run.found };
  } catch (error) {
    await run.release().catch(() => undefined); // the first error counts
    throw error;
  } finally {
    clearInterval(touching);
  }
}

class Scrub {
  private readonly pace: Pace;
  private stores: { name: StoreName; store: TendedStore }[] = [];
  private savedAt = Date.now();
  private readonly startedAt = Date.now();

  constructor(
    private readonly archive: Archive,
    private readonly ask: ScrubAsk,
    private readonly run: ScrubRun,
  ) {
    this.pace = new Pace(ask.bytesPerS);
  }

  /** False when the time was over before everything was read. */
  async objects(): Promise<boolean> {
    const { archive, ask, run } = this;
    await this.findStores();
    const total = await countNamed(archive);
    for (;;) {
      const page = await namedAfter(archive, run.afterDigest);
      for (const named of page) {
        if (this.isOver()) return false;
        await this.one(named);
        run.afterDigest = named.digest;
        if (Date.now() - this.savedAt > SAVE_MS) {
          await run.save();
          this.savedAt = Date.now();
          ask.onProgress?.(run.found, total);
        }
      }
      if (page.length < PAGE) break;
    }
    for (const { name, store } of this.stores) {
      const looked = await checkpointTroubles(archive.reads, name, store, {
        isMending: ask.isMending,
        retainMs: archive.retainCheckpointsMs,
      });
      run.found.checkpoints += looked.checkpoints;
      for (const trouble of looked.troubles) this.tell(trouble);
    }
    await run.save();
    ask.onProgress?.(run.found, total);
    return true;
  }

  /** A store that is away is not waited for: the other one is read, and the record says which. */
  private async findStores(): Promise<void> {
    const { found } = this.run;
    const all = storesOf(this.archive.objects);
    found.stores = found.stores.filter((name) => all.some((one) => one.name === name));
    for (const one of all) {
      const isThere = await one.store.readNamed('pair/replica').then(
        () => true,
        () => false,
      );
      if (isThere && found.stores.includes(one.name)) this.stores.push(one);
      else found.stores = found.stores.filter((name) => name !== one.name);
    }
    if (this.stores.length === 0) {
      throw new Error('no store of objects answers: nothing was read. See mullion doctor.');
    }
  }

  private async one(named: Named): Promise<void> {
    const { digest, sizeBytes, role } = named;
    const { found } = this.run;
    found.objects++;
    found.sizeBytes += sizeBytes;
    for (const { name, store } of this.stores) {
      const state = named.isWithdrawn
        ? (await store.has(digest))
          ? 'not-withdrawn'
          : 'whole'
        : await stateOf(store, digest, this.pace, this.ask.signal);
      if (state === 'whole' || (state !== 'not-withdrawn' && (await this.isGoneNow(digest)))) {
        continue;
      }
      const others = this.stores.filter((one) => one.name !== name);
      const mendedFrom = this.ask.isMending
        ? await mendObject({ digest, role, state }, store, others)
        : null;
      const isNamed = found.troubles.length < TROUBLES_MAX;
      const about = isNamed
        ? await aboutObject(this.archive.reads, digest)
        : { subjects: [], fileName: null, entries: [] };
      this.tell({ what: digest, role, store: name, state, mendedFrom, ...about });
    }
  }

  /** Withdrawn, or made anew under another digest, while it was read. */
  private async isGoneNow(digest: string): Promise<boolean> {
    const [named] = await namedAfter(this.archive, null, digest);
    return named === undefined || named.isWithdrawn;
  }

  private tell(trouble: Trouble): void {
    const { found } = this.run;
    found.troubleCount++;
    if (trouble.mendedFrom !== null) found.mendedCount++;
    if (found.troubles.length < TROUBLES_MAX) found.troubles.push(trouble);
    this.ask.onTrouble?.(trouble);
  }

  private isOver(): boolean {
    const { maxMs, signal } = this.ask;
    return signal?.aborted === true || (maxMs !== undefined && Date.now() - this.startedAt > maxMs);
  }
}

async function recorded(archive: Archive, run: ScrubRun): Promise<ScrubRow> {
  const { scrubId, startedAt, found } = run;
  const said = {
    scrubId,
    startedAt: startedAt.toISOString(),
    endedAt: new Date().toISOString(),
    stores: found.stores,
    objects: found.objects,
    sizeBytes: found.sizeBytes,
    checkpoints: found.checkpoints,
    troubles: found.troubleCount,
    mended: found.mendedCount,
  };
  const { digest, sizeBytes } = await putJson(
    archive.objects,
    { format: 'mullion-scrub-report', ...said, told: found.troubles },
    'scrub-report',
  );
  const { answer } = await archive.run(
    recordScrub,
    { ...said, report: { digest, sizeBytes } },
    { actorId: PROGRAM_ACTOR },
  );
  return answer;
}

/** Objects that the ledger names, and what was made from them, in the order of their digests. */
async function namedAfter(
  archive: Archive,
  after: string | null,
  only: string | null = null,
): Promise<Named[]> {
  const rows = await archive.reads.query<Omit<Named, 'isWithdrawn'>>(
    `SELECT DISTINCT ON (digest) digest, size_bytes, role FROM (
       (SELECT digest, size_bytes, role FROM stored_object
        WHERE ($1::text IS NULL OR digest > $1) AND ($3::text IS NULL OR digest = $3)
        ORDER BY digest LIMIT $2)
       UNION ALL
       (SELECT digest, size_bytes, 'derivative' FROM derivative
        WHERE ($1::text IS NULL OR digest > $1) AND ($3::text IS NULL OR digest = $3)
        ORDER BY digest LIMIT $2)
     ) AS named ORDER BY digest, role = 'derivative' LIMIT $2`,
    [after, PAGE, only],
  );
  const withdrawn = await withdrawnAmong(
    archive,
    rows.map(({ digest }) => digest),
  );
  return rows.map((row) => ({ ...row, isWithdrawn: withdrawn.has(row.digest) }));
}

async function countNamed(archive: Archive): Promise<number> {
  const row = await archive.reads.first<{ count: number }>(
    `SELECT (SELECT count(*) FROM stored_object) + (SELECT count(*) FROM derivative) AS count`,
  );
  return row?.count ?? 0;
}

async function withdrawnAmong(archive: Archive, digests: string[]): Promise<Set<string>> {
  const rows = await archive.reads.query<{ digest: string }>(
    'SELECT digest FROM withdrawn_object WHERE digest = ANY($1)',
    [digests],
  );
  return new Set(rows.map(({ digest }) => digest));
}
