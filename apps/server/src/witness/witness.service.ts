import { createPrivateKey, generateKeyPairSync } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import { type MullionConfig, signerFromKey, Tx } from '#libs/archive';
import { keptSecret, type PgPool } from '#libs/db';
import {
  COSIGNATURE_TYPE,
  type CosignJudgement,
  type CosignRequest,
  cosignatureLine,
  formatVerifierKey,
  judgeCosigning,
  type NoteSigner,
  originAsked,
  parseCheckpoint,
  parseNote,
  parseVerifierKey,
  verifierKey,
} from '#libs/ledger';
import { CONFIG, POOL } from '../platform/tokens.js';

export type Cosigned = { ok: true; line: string } | Extract<CosignJudgement, { ok: false }>;

export interface WitnessedLog {
  readonly origin: string;
  readonly verifierKeys: string[];
  readonly released: boolean;
  readonly registeredAt: Date;
  readonly size: number | null;
  readonly cosignedAt: Date | null;
}

/**
 * The witness of this archive, with a key of its own: a key that signs the archive's history must
 * not also vouch for the history of others.
 */
@Injectable()
export class WitnessService {
  readonly #pool: PgPool;
  readonly #signer: NoteSigner | undefined;

  constructor(@Inject(POOL) pool: PgPool, @Inject(CONFIG) config: MullionConfig) {
    this.#pool = pool;
    this.#signer =
      config.witness === undefined
        ? undefined
        : witnessSigner(config.witness.name, config.witness.keyFile);
  }

  /** undefined: this archive is no witness */
  get verifierKey(): string | undefined {
    return (
      this.#signer &&
      formatVerifierKey(verifierKey(this.#signer.name, this.#signer.publicKey, COSIGNATURE_TYPE))
    );
  }

  get isOn(): boolean {
    return this.#signer !== undefined;
  }

  /**
   * The log's row is locked from before the known head is read until the new one is committed, so
   * that two requests, also on two servers, never see the same head; and nothing is answered before
   * the commit, so that a crash forgets no head that somebody holds a cosignature for.
   */
  async cosign(request: CosignRequest, now: Date): Promise<Cosigned> {
    const client = await this.#pool.connect();
    const tx = new Tx(client);
    try {
      await tx.run('BEGIN');
      const cosigned = await this.#cosign(tx, request, now);
      await tx.run(cosigned.ok ? 'COMMIT' : 'ROLLBACK');
      client.release();
      return cosigned;
    } catch (error) {
      client.release(true);
      throw error;
    }
  }

  async #cosign(tx: Tx, request: CosignRequest, now: Date): Promise<Cosigned> {
    const origin = originAsked(request);
    const log = await tx.first<{ verifierKeys: string[] }>(
      'SELECT verifier_keys FROM witnessed_log WHERE origin = $1 AND NOT released FOR UPDATE',
      [origin ?? ''],
    );
    const known = await newest(tx, origin ?? '');
    const judged = judgeCosigning(
      request,
      log?.verifierKeys.map((text) => parseVerifierKey(text)!),
      known && parseCheckpoint(parseNote(known.note).text),
    );
    if (!judged.ok) return judged;
    // A clock that jumped back never makes a cosignature older than the one before.
    const at = known !== undefined && known.cosignedAt > now ? known.cosignedAt : now;
    const line = await cosignatureLine(
      request.note,
      this.#signer!,
      Math.floor(at.getTime() / 1000),
    );
    await tx.run(
      `INSERT INTO witnessed_checkpoint (origin, size, note, cosigned_at) VALUES ($1, $2, $3, $4)
       ON CONFLICT (origin, size) DO NOTHING`,
      [origin, judged.head.size, request.note + line, at],
    );
    return { ok: true, line };
  }

  /** The last head cosigned for a log; undefined before the first. */
  async newest(origin: string): Promise<string | undefined> {
    return (await newest(new Tx(this.#pool), origin))?.note;
  }

  logs(): Promise<WitnessedLog[]> {
    return new Tx(this.#pool).query<WitnessedLog>(
      `SELECT l.origin, l.verifier_keys, l.released, l.registered_at, c.size, c.cosigned_at
       FROM witnessed_log l LEFT JOIN LATERAL (
         SELECT size, cosigned_at FROM witnessed_checkpoint
         WHERE origin = l.origin ORDER BY size DESC LIMIT 1) c ON true
       ORDER BY l.origin`,
    );
  }
}

function newest(tx: Tx, origin: string): Promise<{ note: string; cosignedAt: Date } | undefined> {
  return tx.first(
    `SELECT note, cosigned_at FROM witnessed_checkpoint WHERE origin = $1
     ORDER BY size DESC LIMIT 1`,
    [origin],
  );
}

function witnessSigner(name: string, keyFile: string): NoteSigner {
  const pem = keptSecret(keyFile, () =>
    generateKeyPairSync('ed25519').privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
  );
  const signer = signerFromKey(createPrivateKey(pem));
  return { name, publicKey: signer.publicKey, sign: (message) => signer.sign(message) };
}
