/** Checkpoints of a log that it does not hold any more, as a later epoch tells: rightly handed out, and lost. */
import {
  bytesEqual,
  type Checkpoint,
  isToldLost,
  openNote,
  parseCheckpoint,
  type ToldEpoch,
  verifierKey,
} from '#libs/ledger';
import { nativeVerify } from './native-signature.js';

export class LostCheckpoints {
  readonly #known: string[] = [];
  #copies = 0;

  /** @param keys public keys that signed in the log so far */
  constructor(
    private readonly origin: string,
    private readonly told: readonly ToldEpoch[],
    private readonly keys: () => readonly Uint8Array[],
  ) {}

  /** Whether a checkpoint of that size is of what is told to be lost. */
  isTold(size: number): boolean {
    return isToldLost(this.told, { origin: this.origin, size });
  }

  /** One that the archive signed over other entries than those with this root, of a range that is told to be lost. */
  isOther(note: string, size: number, root: Uint8Array): boolean {
    if (!this.isTold(size)) return false;
    const head = this.opened(note);
    return head !== undefined && !bytesEqual(head.root, root);
  }

  /** Undefined when the archive did not sign it, or it is of another log. */
  opened(note: string): Checkpoint | undefined {
    const { origin } = this;
    const keys = this.keys().map((key) => verifierKey(origin, key));
    try {
      const opened = openNote(note, keys, nativeVerify);
      const head = parseCheckpoint(opened.text);
      return opened.verified.length > 0 && head.origin === origin ? head : undefined;
    } catch {
      return undefined;
    }
  }

  addCopy(): void {
    this.#copies += 1;
  }

  addKnown({ name, size }: { name: string; size: number }): void {
    this.#known.push(
      `the checkpoint you kept (${name}) is over ${size} entries, of which the last are lost, as the next epoch tells`,
    );
  }

  /** What a reader should know of them. */
  notes(): string[] {
    const copies =
      this.#copies === 0
        ? []
        : [
            `${this.#copies} copies in the object store are of checkpoints that were lost, as the next epoch tells`,
          ];
    return [...this.#known, ...copies].map((note) => `${this.origin}: ${note}`);
  }
}
