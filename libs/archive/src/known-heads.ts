/** Where logs stand, as this process last saw them: what is remembered was read there. */
import {
  isHead,
  type LogHead,
  lineOf,
  lockHead,
  lockRow,
  openLogOf,
  STUDIO_LOG,
} from './log-head.js';
import type { Tx } from './tx.js';

export interface LogPlace {
  readonly logId: string;
  readonly size: number;
  readonly rootHash: Buffer;
}

/** Two that are the same object saw no change between them. */
export interface Basis {
  readonly head: LogHead | undefined;
  readonly studio: LogPlace | undefined;
}

export class KnownHeads {
  readonly #heads = new Map<string, LogHead>();
  #studio: LogPlace | undefined;

  get(line: string): LogHead | undefined {
    return this.#heads.get(line);
  }

  /** Heads as this process left them. */
  left(heads: readonly LogHead[]): void {
    for (const head of heads) {
      this.#heads.set(lineOf(head), head);
      if (lineOf(head) === STUDIO_LOG)
        this.#studio = { ...head, rootHash: Buffer.from(head.rootHash) };
    }
  }

  basis(line: string): Basis {
    return { head: this.#heads.get(line), studio: this.#studio };
  }

  isStill(line: string, { head, studio }: Basis): boolean {
    return this.#heads.get(line) === head && this.#studio === studio;
  }

  /**
   * Locks the open log of a line, and sees where the studio's stands.
   * @param moved told when another process wrote since
   */
  async lock(tx: Tx, line: string, moved: () => void): Promise<LogHead | undefined> {
    const known = this.#heads.get(line);
    const locked = lockHead(tx, line, known);
    // Before any answer is read: one that is newer than the place is only asked for once more.
    const [head, studio] = await Promise.all([locked, studioPlace(tx)]);
    const isLeft = known === undefined || (head !== undefined && isHead(head, known));
    const isStudioThere = isSamePlace(this.#studio, studio);
    if (!isStudioThere) this.#studio = studio;
    if (!isLeft || !isStudioThere) moved();
    return head;
  }

  /** Locks the open log of a line; whether it and the studio's stand where they are known to stand. */
  async lockedAt(tx: Tx, line: string, { head, studio }: Basis): Promise<boolean> {
    const [row, place] = await Promise.all([lockRow(tx, line), studioPlace(tx)]);
    return (
      row !== undefined &&
      head !== undefined &&
      isHead(row, head) &&
      row.signingKey === head.signingKey &&
      isSamePlace(place, studio)
    );
  }
}

function studioPlace(tx: Tx): Promise<LogPlace | undefined> {
  return tx.firstPrepared<LogPlace>(
    `SELECT log_id, size, root_hash FROM log WHERE log_id = ${openLogOf('$1')}`,
    [STUDIO_LOG],
  );
}

function isSamePlace(one: LogPlace | undefined, other: LogPlace | undefined): boolean {
  return (
    one !== undefined &&
    other !== undefined &&
    one.logId === other.logId &&
    one.size === other.size &&
    one.rootHash.equals(other.rootHash)
  );
}
