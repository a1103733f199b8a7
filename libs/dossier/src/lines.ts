/** Lines of a stream of bytes, without their line feeds; a cut last line is a line too. */

/** Longer than any entry: a damaged file without line feeds must not fill the memory. */
const LINE_BYTES_MAX = 1 << 20;

export async function* linesOf(chunks: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  let rest = new Uint8Array(0);
  for await (const chunk of chunks) {
    let begin = 0;
    for (let end = chunk.indexOf(0x0a); end >= 0; end = chunk.indexOf(0x0a, begin)) {
      const piece = chunk.subarray(begin, end);
      yield rest.length === 0 ? piece : joined(rest, piece);
      rest = new Uint8Array(0);
      begin = end + 1;
    }
    rest = joined(rest, chunk.subarray(begin));
    if (rest.length > LINE_BYTES_MAX)
      throw new Error(`a line of more than ${LINE_BYTES_MAX} bytes`);
  }
  if (rest.length > 0) yield rest;
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(a.length + b.length);
  whole.set(a);
  whole.set(b, a.length);
  return whole;
}

const BATCH_BYTES = 1 << 16;

/** Gathers lines into larger chunks: a chunk a line makes a million entries twice as slow to write. */
export class LineBatch {
  private lines: Uint8Array[] = [];
  private sizeBytes = 0;

  /** @returns whether the batch is full and should be taken */
  add(line: Uint8Array): boolean {
    this.lines.push(line);
    this.sizeBytes += line.length + 1;
    return this.sizeBytes >= BATCH_BYTES;
  }

  /** The lines so far, each with its line feed, in one chunk. */
  take(): Uint8Array {
    const chunk = new Uint8Array(this.sizeBytes);
    let at = 0;
    for (const line of this.lines) {
      chunk.set(line, at);
      at += line.length + 1;
      chunk[at - 1] = 0x0a;
    }
    this.lines = [];
    this.sizeBytes = 0;
    return chunk;
  }
}
