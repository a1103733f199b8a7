/**
 * The reader's side of a trial: follows each log from its first entry with a tree of its own, so that
 * every checkpoint ever handed out is held against what stands there now, and what was answered
 * against what was written. Nothing of the archive's own checks is used.
 */
import { createHash } from 'node:crypto';
import type { PgPool } from '#libs/db';
import { type Entry, openNote, parseCheckpoint, verifierKey } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { entryTypeOf, isWordless, type Told } from './act.js';
import { type EntryRow, FollowedLog, hex, type LogRow } from './followed-log.js';

export interface Faults {
  /** answered, and not there or not as it was answered */
  lost: string[];
  doubled: string[];
  /** objects that an entry names and that do not read or hash */
  broken: string[];
  /** a log that does not go on from what was handed out of it */
  inconsistent: string[];
}

export interface Watched {
  readonly pool: PgPool;
  readonly objects: ObjectStore;
  /** keys that were ever in force; Ed25519, 32 bytes */
  readonly publicKeys: readonly Uint8Array[];
}

interface Made {
  readonly logId: string;
  readonly seq: number;
  readonly happened: string | null;
  readonly digests: readonly string[];
}

const TOKEN = /tok-[0-9a-z]+-[0-9]+/g;

export class LedgerWatch {
  readonly #logs = new Map<string, FollowedLog>();
  /** entries in which each token stands as the thing made */
  readonly #made = new Map<string, Made[]>();
  /** entry that names each object */
  readonly #named = new Map<string, string>();
  readonly #placesOfType = new Map<string, Set<string>>();
  /** token of the answer that named each entry */
  readonly #claimed = new Map<string, string>();
  readonly #handedOut: { logId: string; note: string }[] = [];
  #held = 0;
  readonly #hashed = new Set<string>();
  objectsRead = 0;

  /** Keeps a checkpoint as a reader got it. */
  handedOut(logId: string, note: string): void {
    if (note !== '') this.#handedOut.push({ logId, note });
  }

  get checkpointsKept(): number {
    return this.#handedOut.length;
  }

  /** Reads what was added and says what is wrong; `everything` reads all entries and objects anew. */
  async check(watched: Watched, told: readonly Told[], everything = false): Promise<Faults> {
    const faults: Faults = { lost: [], doubled: [], broken: [], inconsistent: [] };
    if (everything) {
      this.#hashed.clear();
      this.#held = 0;
    }
    const { heads, entries } = await this.#read(watched.pool, everything);
    for (const head of heads) {
      const log = this.#logOf(head.logId);
      const rows = entries.filter(({ logId }) => logId === head.logId);
      const from = everything ? 0 : log.size;
      faults.inconsistent.push(
        ...log.take(rows, from, (entry) => {
          this.#note(head.logId, entry);
        }),
        ...log.holdHead(head),
      );
    }
    for (const logId of this.#logs.keys()) {
      if (!heads.some((head) => head.logId === logId))
        faults.inconsistent.push(`${logId}: is gone`);
    }
    faults.broken.push(...(await this.#readObjects(watched.objects)));
    for (; this.#held < this.#handedOut.length; this.#held++) {
      const { logId, note } = this.#handedOut[this.#held]!;
      const fault = this.#holdAgainst(logId, note, watched.publicKeys);
      if (fault !== undefined) faults.inconsistent.push(fault);
    }
    for (const one of told) this.#answeredStands(one, faults);
    faults.doubled.push(...this.#unasked(told));
    return faults;
  }

  /** Heads and entries of one moment: a worker may be writing. */
  async #read(pool: PgPool, everything: boolean) {
    const client = await pool.connect();
    try {
      await client.query('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY');
      const { rows } = await client.query<{ logId: string; size: string; root: Buffer }>(
        'SELECT log_id AS "logId", size, root_hash AS root FROM log',
      );
      const heads: LogRow[] = rows.map(({ logId, size, root }) => {
        return { logId, size: Number(size), root: hex(root) };
      });
      const entries: EntryRow[] = [];
      for (const { logId } of heads) {
        const from = everything ? 0 : this.#logOf(logId).size;
        const found = await client.query<{ seq: string; bytes: Buffer; leafHash: Buffer }>(
          'SELECT seq, bytes, leaf_hash AS "leafHash" FROM entry WHERE log_id = $1 AND seq >= $2 ORDER BY seq',
          [logId, from],
        );
        for (const { seq, bytes, leafHash } of found.rows) {
          const row = { seq: Number(seq), bytes: new Uint8Array(bytes), leafHash: hex(leafHash) };
          entries.push({ logId, ...row });
        }
      }
      await client.query('COMMIT');
      client.release();
      return { heads, entries };
    } catch (error) {
      client.release(true);
      throw error;
    }
  }

  #logOf(logId: string): FollowedLog {
    const known = this.#logs.get(logId);
    if (known !== undefined) return known;
    const log = new FollowedLog(logId);
    this.#logs.set(logId, log);
    return log;
  }

  #note(logId: string, entry: Entry): void {
    const digests = entry.objects.map(({ digest }) => digest);
    for (const token of new Set(JSON.stringify(entry.payload).match(TOKEN) ?? [])) {
      const made = { logId, seq: entry.seq, happened: entry.happened, digests };
      this.#made.set(token, [...(this.#made.get(token) ?? []), made]);
    }
    for (const digest of digests) this.#named.set(digest, `${logId}/${entry.seq}`);
    const asked = this.#placesOfType.get(entry.type) ?? new Set();
    this.#placesOfType.set(entry.type, asked.add(`${logId}/${entry.seq}`));
  }

  async #readObjects(objects: ObjectStore): Promise<string[]> {
    const broken: string[] = [];
    for (const [digest, where] of this.#named) {
      if (this.#hashed.has(digest)) continue;
      try {
        const hash = createHash('sha256');
        for await (const chunk of await objects.read(digest)) hash.update(chunk as Uint8Array);
        if (`sha256:${hash.digest('hex')}` !== digest) broken.push(`${where}: ${digest} altered`);
      } catch (error) {
        broken.push(`${where}: ${digest} ${(error as Error).message}`);
      }
      this.#hashed.add(digest);
      this.objectsRead++;
    }
    return broken;
  }

  #holdAgainst(logId: string, note: string, publicKeys: readonly Uint8Array[]): string | undefined {
    try {
      const origin = note.slice(0, note.indexOf('\n'));
      const keys = publicKeys.map((key) => verifierKey(origin, key));
      const opened = openNote(note, keys);
      if (opened.verified.length === 0) return `${logId}: a checkpoint of no key in force`;
      const head = parseCheckpoint(opened.text);
      if (this.#logs.get(logId)?.rootAt(head.size) === hex(head.root)) return undefined;
      return `${logId}: the checkpoint handed out at size ${head.size} has another root`;
    } catch (error) {
      return `${logId}: ${(error as Error).message}`;
    }
  }

  #answeredStands({ token, kind, state, entry, happened, digest }: Told, faults: Faults): void {
    if (state !== 'answered') return;
    const what = `${kind} ${token}`;
    if (isWordless(kind)) {
      if (entry === undefined || this.#logs.get(entry.logId)?.has(entry.seq) !== true) {
        faults.lost.push(`${what}: its entry is not there`);
        return;
      }
      const place = `${entry.logId}/${entry.seq}`;
      const holder = this.#claimed.get(place);
      if (holder !== undefined && holder !== token) {
        faults.lost.push(`${what}: answered with the entry of ${holder}`);
      }
      this.#claimed.set(place, token);
      return;
    }
    const places = this.#made.get(token) ?? [];
    const seqs = places.map(({ seq }) => seq);
    if (places.length === 0) faults.lost.push(`${what}: in no entry`);
    if (places.length > 1) faults.doubled.push(`${what}: entries ${seqs.join(', ')}`);
    for (const place of places) {
      if (digest !== undefined && !place.digests.includes(digest)) {
        faults.lost.push(`${what}: entry ${place.seq} names other bytes than were sent`);
      }
      if (happened !== undefined && place.happened !== happened) {
        faults.lost.push(`${what}: ${happened} was claimed, ${String(place.happened)} is kept`);
      }
    }
    if (entry !== undefined && places.length > 0 && !seqs.includes(entry.seq)) {
      faults.lost.push(`${what}: answered as entry ${entry.seq}, stands in ${seqs[0]}`);
    }
  }

  /** Jobs in the history that nobody was answered for, once nothing is open any more. */
  #unasked(told: readonly Told[]): string[] {
    if (told.some(({ kind, state }) => isWordless(kind) && state !== 'answered')) return [];
    return (['dossier', 'extraction'] as const).flatMap((kind) =>
      [...(this.#placesOfType.get(entryTypeOf(kind)) ?? [])]
        .filter((place) => !this.#claimed.has(place))
        .map((place) => `${kind}: entry ${place} was asked for by nobody`),
    );
  }
}
