/**
 * The reader's side of a trial: follows each log from its first entry with a tree of its own, so that
 * every checkpoint ever handed out is held against what stands there now.
 */
import { createHash } from 'node:crypto';
import type { PgPool } from '#libs/db';
import {
  Frontier,
  leafHash,
  openNote,
  parseCheckpoint,
  parseEntry,
  verifierKey,
} from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { isWordless, type Told } from './act.js';

interface Followed {
  readonly frontier: Frontier;
  /** root at each size that has been passed */
  readonly roots: string[];
  /** sha-256 of each entry, to see that what was read before still reads so */
  readonly leaves: string[];
  lastAt: string;
}

export interface Faults {
  lost: string[];
  doubled: string[];
  inconsistent: string[];
}

const TOKEN = /tok-[0-9a-z]+-[0-9]+/g;

export class LedgerWatch {
  readonly #logs = new Map<string, Followed>();
  /** entries in which each token stands as the thing made */
  readonly #made = new Map<string, { seq: number; happened: string | null }[]>();
  readonly #handedOut: { logId: string; note: string }[] = [];
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
  async check(
    pool: PgPool,
    objects: ObjectStore,
    told: readonly Told[],
    publicKey: Uint8Array,
    everything = false,
  ): Promise<Faults> {
    const faults: Faults = { lost: [], doubled: [], inconsistent: [] };
    if (everything) this.#hashed.clear();
    const { rows: logs } = await pool.query<{ logId: string; size: string; root: Buffer }>(
      `SELECT log_id AS "logId", size, root_hash AS root FROM log`,
    );
    for (const log of logs) {
      const followed = await this.#follow(pool, objects, log.logId, everything, faults);
      const size = Number(log.size);
      if (followed.roots[size] !== log.root.toString('hex')) {
        faults.inconsistent.push(`head of ${log.logId}: size ${size}, other root`);
      }
      if (followed.frontier.size !== size) {
        faults.inconsistent.push(
          `${log.logId}: ${followed.frontier.size} entries, head says ${size}`,
        );
      }
    }
    for (const { logId, note } of this.#handedOut)
      this.#holdAgainst(logId, note, publicKey, faults);
    for (const one of told) this.#answeredStands(one, faults);
    return faults;
  }

  async #follow(
    pool: PgPool,
    objects: ObjectStore,
    logId: string,
    everything: boolean,
    faults: Faults,
  ): Promise<Followed> {
    const known = this.#logs.get(logId);
    const followed: Followed = known ?? {
      frontier: new Frontier(),
      roots: [hex(new Frontier().root())],
      leaves: [],
      lastAt: '',
    };
    this.#logs.set(logId, followed);
    const from = everything ? 0 : followed.frontier.size;
    const { rows } = await pool.query<{ seq: string; bytes: Buffer; leafHash: Buffer }>(
      `SELECT seq, bytes, leaf_hash AS "leafHash" FROM entry WHERE log_id = $1 AND seq >= $2 ORDER BY seq`,
      [logId, from],
    );
    for (const [at, row] of rows.entries()) {
      const seq = Number(row.seq);
      const bytes = new Uint8Array(row.bytes);
      const leaf = leafHash(bytes);
      if (seq !== from + at) faults.inconsistent.push(`${logId}: entry ${from + at} is missing`);
      if (hex(leaf) !== row.leafHash.toString('hex')) {
        faults.inconsistent.push(`${logId}/${seq}: leaf hash`);
      }
      if (seq < followed.leaves.length) {
        if (followed.leaves[seq] !== hex(leaf))
          faults.inconsistent.push(`${logId}/${seq}: changed`);
      } else {
        this.#append(followed, logId, seq, bytes, leaf, faults);
      }
      await this.#readObjects(objects, `${logId}/${seq}`, bytes, faults);
    }
    return followed;
  }

  #append(
    followed: Followed,
    logId: string,
    seq: number,
    bytes: Uint8Array,
    leaf: Uint8Array,
    faults: Faults,
  ): void {
    const entry = parseEntry(bytes);
    if (entry.recordedAt < followed.lastAt) {
      faults.inconsistent.push(`${logId}/${seq}: recorded before the entry before it`);
    }
    followed.lastAt = entry.recordedAt;
    followed.frontier.append(leaf);
    followed.roots.push(hex(followed.frontier.root()));
    followed.leaves.push(hex(leaf));
    for (const token of new Set(JSON.stringify(entry.payload).match(TOKEN) ?? [])) {
      this.#made.set(token, [...(this.#made.get(token) ?? []), { seq, happened: entry.happened }]);
    }
  }

  async #readObjects(
    objects: ObjectStore,
    where: string,
    bytes: Uint8Array,
    faults: Faults,
  ): Promise<void> {
    for (const { digest } of parseEntry(bytes).objects) {
      if (this.#hashed.has(digest)) continue;
      try {
        const hash = createHash('sha256');
        for await (const chunk of await objects.read(digest)) hash.update(chunk as Uint8Array);
        if (`sha256:${hash.digest('hex')}` !== digest)
          faults.lost.push(`${where}: ${digest} altered`);
      } catch (error) {
        faults.lost.push(`${where}: ${digest} ${(error as Error).message}`);
      }
      this.#hashed.add(digest);
      this.objectsRead++;
    }
  }

  #holdAgainst(logId: string, note: string, publicKey: Uint8Array, faults: Faults): void {
    try {
      const origin = note.slice(0, note.indexOf('\n'));
      const opened = openNote(note, [verifierKey(origin, publicKey)]);
      const head = parseCheckpoint(opened.text);
      const root = this.#logs.get(logId)?.roots[head.size];
      if (opened.verified.length === 0) faults.inconsistent.push(`${logId}: unsigned checkpoint`);
      if (root !== hex(head.root)) {
        faults.inconsistent.push(`${logId}: checkpoint of size ${head.size} has another root`);
      }
    } catch (error) {
      faults.inconsistent.push(`${logId}: ${(error as Error).message}`);
    }
  }

  #answeredStands({ token, kind, state, entry, happened }: Told, faults: Faults): void {
    if (state !== 'answered') return;
    if (isWordless(kind)) {
      const leaf = entry && this.#logs.get(entry.logId)?.leaves[entry.seq];
      if (leaf === undefined) faults.lost.push(`${kind} ${token}`);
      return;
    }
    const places = this.#made.get(token) ?? [];
    const seqs = places.map(({ seq }) => seq);
    if (places.length === 0) faults.lost.push(`${kind} ${token}`);
    if (places.length > 1) faults.doubled.push(`${kind} ${token}: entries ${seqs.join(', ')}`);
    if (entry !== undefined && places.length > 0 && !seqs.includes(entry.seq)) {
      faults.lost.push(`${kind} ${token}: answered as entry ${entry.seq}, stands in ${seqs[0]}`);
    }
    if (happened !== undefined && places.some((place) => place.happened !== happened)) {
      faults.inconsistent.push(`${kind} ${token}: ${happened} was claimed`);
    }
  }
}

const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');
