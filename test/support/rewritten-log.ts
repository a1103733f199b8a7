/** A log made up beside an archive, signed with a key of one's choice: what an administrator could do. */
import { createPrivateKey } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { type ArchiveSigner, signerFromKey } from '#libs/archive';
import {
  consistencyProof,
  Frontier,
  formatVerifierKey,
  leafHash,
  signCheckpoint,
  verifierKey,
} from '#libs/ledger';

export class RewrittenLog {
  readonly #frontier = new Frontier();
  readonly #nodes = new Map<string, Uint8Array>();
  #note = '';

  private constructor(
    readonly origin: string,
    private readonly signer: ArchiveSigner,
    private readonly word: string,
  ) {}

  static async of(origin: string, keyFile: string, word = 'rewritten'): Promise<RewrittenLog> {
    const signer = signerFromKey(createPrivateKey(readFileSync(keyFile)));
    const log = new RewrittenLog(origin, signer, word);
    await log.grow(0);
    return log;
  }

  get key(): string {
    return formatVerifierKey(verifierKey(this.origin, this.signer.publicKey));
  }

  get size(): number {
    return this.#frontier.size;
  }

  async grow(count: number): Promise<void> {
    for (let i = 0; i < count; i++) {
      const leaf = leafHash(new TextEncoder().encode(`${this.word} ${this.size}`));
      this.#frontier.append(leaf, ({ level, index, hash }) =>
        this.#nodes.set(`${level}/${index}`, hash),
      );
    }
    const head = { origin: this.origin, size: this.size, root: this.#frontier.root() };
    this.#note = await signCheckpoint(head, this.signer);
  }

  /** The newest head, signed. */
  note(): string {
    return this.#note;
  }

  proof(from: number): Promise<Uint8Array[]> {
    return consistencyProof(
      {
        readHashes: (nodes) =>
          Promise.resolve(nodes.map(({ level, index }) => this.#nodes.get(`${level}/${index}`)!)),
      },
      from,
      this.size,
    );
  }
}
