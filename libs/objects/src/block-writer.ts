/**
 * Bytes that arrive in small pieces, written in large ones. What has come is on its way to the disk
 * while more comes, so that the flush at the end has little left to wait for.
 */
import type { FileHandle } from 'node:fs/promises';

/** A write costs a change of threads, whatever its length. */
const BLOCK_BYTES = 2 ** 20;
/** What came over a slow line is not kept waiting for a full block. */
const LINGER_MS = 20;
/** Each flush makes the file system write its journal; fewer would leave the end more to wait for. */
const FLUSH_BYTES = 4 * 2 ** 20;

export class BlockWriter {
  #gathered: Uint8Array[] = [];
  #gatheredBytes = 0;
  #unflushedBytes = 0;
  #writing: Promise<void> = Promise.resolve();
  #flushing: Promise<void> = Promise.resolve();
  #isFlushing = false;
  /** a block is on its way to the disk, or failed on it */
  #isBehind = false;
  #lingering: NodeJS.Timeout | undefined;

  /**
   * @param positionBytes where the next byte goes
   * @param onWritten takes pieces that are written and that nobody else looks at any more; the next
   *   block waits for it. Memory of buffers counts against the heap, and the collector answers a body
   *   of many megabytes by going through all of it several times: who takes them should free them,
   *   which took two thirds of the processor time of a request away
   */
  constructor(
    private readonly handle: FileHandle,
    private positionBytes: number,
    private readonly onWritten?: (pieces: readonly Uint8Array[]) => Promise<void>,
  ) {}

  /**
   * Takes a piece, which must not be changed any more.
   *
   * @returns undefined when more may come at once, else a promise to wait for: the disk is more than a
   *   block behind. It rejects with what the system said of an earlier write
   */
  add(piece: Uint8Array): Promise<void> | undefined {
    this.#gathered.push(piece);
    this.#gatheredBytes += piece.length;
    if (this.#gatheredBytes < BLOCK_BYTES) {
      this.#lingering ??= setTimeout(() => {
        this.#write();
      }, LINGER_MS);
      return undefined;
    }
    if (!this.#isBehind) {
      this.#write();
      return undefined;
    }
    return this.#writing.then(() => {
      this.#write();
    });
  }

  /**
   * Writes what is left. The file still has to be flushed once more to be durable.
   *
   * @throws what the system said of any write or flush: it tells each failure once, so a flush that
   *   succeeds after one that failed says nothing
   */
  async end(): Promise<void> {
    this.#write();
    await this.#writing;
    await this.#flushing;
  }

  #write(): void {
    clearTimeout(this.#lingering);
    this.#lingering = undefined;
    if (this.#gatheredBytes === 0) return;
    const pieces = this.#gathered;
    const position = this.positionBytes;
    this.positionBytes += this.#gatheredBytes;
    this.#unflushedBytes += this.#gatheredBytes;
    this.#gathered = [];
    this.#gatheredBytes = 0;
    this.#isBehind = true;
    this.#writing = this.#writing.then(async () => {
      await writeAll(this.handle, pieces, position);
      this.#flushSome();
      await this.onWritten?.(pieces);
      this.#isBehind = false;
    });
    this.#writing.catch(() => undefined); // told by the next piece or the end
  }

  #flushSome(): void {
    if (this.#unflushedBytes < FLUSH_BYTES || this.#isFlushing) return;
    this.#unflushedBytes = 0;
    this.#isFlushing = true;
    this.#flushing = this.#flushing.then(async () => {
      await this.handle.datasync();
      this.#isFlushing = false;
    });
    this.#flushing.catch(() => undefined); // told by the end
  }
}

async function writeAll(
  handle: FileHandle,
  pieces: readonly Uint8Array[],
  position: number,
): Promise<void> {
  let left = pieces;
  let at = position;
  while (left.length > 0) {
    const { bytesWritten } = await handle.writev(left, at);
    at += bytesWritten;
    left = behind(left, bytesWritten);
  }
}

/** What of the pieces is left once that many bytes of them are written. */
function behind(pieces: readonly Uint8Array[], bytes: number): Uint8Array[] {
  let skipped = bytes;
  return pieces.flatMap((piece) => {
    const gone = Math.min(skipped, piece.length);
    skipped -= gone;
    return gone === piece.length ? [] : [piece.subarray(gone)];
  });
}
