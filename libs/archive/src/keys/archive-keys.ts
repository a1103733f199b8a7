/**
 * The archive's key, its successor and its loss. Every change is written in all logs in one
 * transaction; the file of the next key lies beside before, and takes its place after it.
 */
import { entryNameIn } from '#libs/ledger';
import type { CopyPorts } from '../checkpoint-copy.js';
import { PROGRAM_ACTOR } from '../id.js';
import { type LogHead, OPEN_LOG, openLogId, STUDIO_LOG } from '../log-head.js';
import { type ArchiveSigner, type KeyRing, signerFor } from '../signer.js';
import { type SqlPool, type SqlPoolClient, Tx } from '../tx.js';
import { announce, historyOf, keyEntries, keysInForce, signingKeyOf } from './announcement.js';
import { type ChangePlan, changeLog } from './change-log.js';
import { withKeysLocked, writeInEveryLog } from './every-log.js';
import { destroySheet, type KeptSheet, keptSheet, makeSheet } from './kept-sheet.js';
import {
  dropNextKey,
  heldKey,
  KeyFault,
  KeyFile,
  layNextKey,
  newKeyPem,
  nextKeyPath,
  pemOf,
  placeNextKey,
} from './key-file.js';
import { publicBytesOf, recoveryKeysFromWords } from './recovery-words.js';

export interface ArchiveKeysPorts extends CopyPorts {
  readonly pool: SqlPool;
  /** path of the key file */
  readonly keyFile: string;
  /** folder of the archive: words that nobody printed yet are kept there */
  readonly home: string;
  readonly clock?: () => number;
}

/** What a change of the key came to. */
export interface KeyChangeReport {
  /** fingerprints; null when nothing says which key was there before */
  readonly from: string | null;
  readonly to: string;
  /** logs in which it stands */
  readonly logs: number;
  /** place in the studio's history (`entryName` names it) */
  readonly seq: number;
  /** logs in which no announced key vouches for it, though it does in the others */
  readonly unvouched: number;
}

export class ArchiveKeys {
  constructor(private readonly ports: ArchiveKeysPorts) {}

  /**
   * Finishes a change that was killed after it was written in the logs, undoes one that was killed
   * before. To be called before a process signs.
   */
  async settle(): Promise<void> {
    await withKeysLocked(this.ports.pool, (client) => this.#settle(client));
  }

  /**
   * The first announcement, in every log that has none. Words that were made for it are kept in the
   * home until their sheet is printed. Does nothing where the key in force is not in reach.
   */
  async announceFirst(keys: KeyRing): Promise<void> {
    const { pool, home } = this.ports;
    const silent = `SELECT 1 FROM log l
      WHERE NOT EXISTS (SELECT 1 FROM key_event k WHERE k.log_id = l.log_id)
        AND NOT EXISTS (SELECT 1 FROM log later WHERE later.site_id IS NOT DISTINCT FROM l.site_id
                          AND later.epoch > l.epoch) LIMIT 1`;
    if ((await new Tx(pool).first(silent)) === undefined) return;
    await withKeysLocked(pool, async (client) => {
      const by = this.#author();
      await writeInEveryLog(client, this.ports, by.now, async (tx, heads) => {
        const { signingKey, successor, carried } = await keysInForce(tx);
        if (signingKey !== null && keys.signerOf(signingKey) === undefined) return [];
        const next = successor ?? (keptSheet(home) ?? makeSheet(home, by.now)).successor;
        const signed = [];
        for (const head of heads) {
          if ((await keyEntries(tx, head.logId)).length > 0) continue;
          const signer = signerFor(keys, head);
          const earlier = head.siteId === null ? [] : carried;
          signed.push({ head: await announce(tx, head, next, signer, by, earlier), signer });
        }
        return signed;
      });
    });
  }

  /** A new key, handed on by the old one. @throws KeyFault when the key in force is not in reach */
  async rotate(): Promise<KeyChangeReport> {
    const { keyFile } = this.ports;
    return this.#locked(async (client, inForce) => {
      const old = this.#held(inForce);
      const to = layNextKey(keyFile, newKeyPem());
      return this.#change(client, { old, to, isLost: false });
    });
  }

  /**
   * The recovery sheet's key takes the place of a lost one; a new sheet is made.
   * @throws KeyFault when the key is not lost, or the words are those of another sheet;
   * RecoveryWordsError when they are mistyped
   */
  async recover(words: readonly string[]): Promise<KeyChangeReport> {
    const { signing } = recoveryKeysFromWords(words);
    return this.#locked(async (client, inForce) => {
      this.#refuseHeld(inForce);
      const tx = new Tx(client);
      const origin = await studioOrigin(tx);
      const logId = (await openLogId(tx, STUDIO_LOG))!;
      const { announced } = historyOf(origin, await keyEntries(tx, logId));
      if (announced === undefined) {
        throw new KeyFault(
          'This archive never announced a successor, so no sheet can bring its key back. See mullion admin key recover --help, --without-any-key.',
        );
      }
      if (!Buffer.from(announced.publicKey).equals(publicBytesOf(signing))) {
        throw new KeyFault(
          `These are the words of another sheet than the one announced at ${entryNameIn(origin, announced.seq)} of the studio's log. Look for the newest sheet of this archive; an older one was made void by it.`,
        );
      }
      const to = layNextKey(this.ports.keyFile, pemOf(signing));
      return this.#change(client, { old: undefined, to, isLost: true });
    });
  }

  /**
   * A new key that nobody vouches for, when key and sheet are both lost.
   * @throws KeyFault when the key is not lost
   */
  async replace(): Promise<KeyChangeReport> {
    return this.#locked(async (client, inForce) => {
      this.#refuseHeld(inForce);
      const to = layNextKey(this.ports.keyFile, newKeyPem());
      return this.#change(client, { old: undefined, to, isLost: true });
    });
  }

  /** A new recovery sheet; the one before is void from here on. @throws KeyFault */
  async renewSheet(): Promise<KeptSheet> {
    const { home } = this.ports;
    return this.#locked(async (client, inForce) => {
      const signer = this.#held(inForce);
      const by = this.#author();
      const sheet = makeSheet(home, by.now);
      await writeInEveryLog(client, this.ports, by.now, async (tx, heads) => {
        const { carried } = await keysInForce(tx);
        const signed = [];
        for (const head of heads) {
          const isFirst = (await keyEntries(tx, head.logId)).length === 0;
          const earlier = isFirst && head.siteId !== null ? carried : [];
          const after = await announce(tx, head, sheet.successor, signer, by, earlier);
          signed.push({ head: after, signer });
        }
        return signed;
      });
      return sheet;
    });
  }

  /** The sheet whose words are still kept here and stand in the log; undefined once they were destroyed. */
  async sheetToPrint(): Promise<KeptSheet | undefined> {
    const sheet = keptSheet(this.ports.home);
    if (sheet === undefined) return undefined;
    const { successor } = await keysInForce(new Tx(this.ports.pool));
    const isAnnounced =
      successor !== undefined && Buffer.from(successor.publicKey).equals(sheet.successor.publicKey);
    return isAnnounced ? sheet : undefined;
  }

  /** Destroys the words: from here on they stand on paper only. */
  destroyWords(): void {
    destroySheet(this.ports.home);
  }

  async #change(
    client: SqlPoolClient,
    { old, to, isLost }: { old: ArchiveSigner | undefined; to: ArchiveSigner; isLost: boolean },
  ): Promise<KeyChangeReport> {
    const { home, keyFile } = this.ports;
    const by = this.#author();
    // The words are on the disk before a log names them; a rotation leaves the sheet as it is.
    const fresh = isLost ? makeSheet(home, by.now).successor : undefined;
    let report: KeyChangeReport | undefined;
    const write = async (tx: Tx, heads: readonly LogHead[]) => {
      const successor = fresh ?? (await keysInForce(tx)).successor;
      const plan: ChangePlan = { old, to, successor };
      const changed = [];
      for (const head of heads) changed.push(await changeLog(tx, head, plan, by));
      const studio = changed.find(({ head }) => head.siteId === null)!;
      const isVouched = studio.signedBy !== 'none';
      report = {
        from: studio.from,
        to: to.fingerprint,
        logs: changed.length,
        seq: studio.seq,
        unvouched: isVouched ? changed.filter((one) => one.signedBy === 'none').length : 0,
      };
      return changed.map(({ head }) => ({ head, signer: to }));
    };
    await writeInEveryLog(client, this.ports, by.now, write, () => {
      placeNextKey(keyFile);
    });
    return report!;
  }

  #locked<T>(work: (client: SqlPoolClient, inForce: string | null) => Promise<T>): Promise<T> {
    return withKeysLocked(this.ports.pool, async (client) => {
      await this.#settle(client);
      return work(client, await signingKeyOf(new Tx(client)));
    });
  }

  async #settle(client: SqlPoolClient): Promise<void> {
    const { keyFile } = this.ports;
    const inForce = await signingKeyOf(new Tx(client));
    const isNext = inForce !== null && heldKey(nextKeyPath(keyFile), inForce) !== undefined;
    if (isNext) placeNextKey(keyFile);
    else dropNextKey(keyFile);
  }

  /** @throws KeyFault */
  #held(inForce: string | null): ArchiveSigner {
    const { keyFile } = this.ports;
    if (inForce === null) return KeyFile.open(keyFile).current;
    const held = heldKey(keyFile, inForce);
    if (held !== undefined) return held;
    throw new KeyFault(
      `The archive's key is ${inForce}, and ${keyFile} does not hold it. Put it back from the backup; if it is lost, run: mullion admin key recover`,
    );
  }

  #refuseHeld(inForce: string | null): void {
    const { keyFile } = this.ports;
    const held = inForce === null ? undefined : heldKey(keyFile, inForce);
    if (held === undefined) return;
    throw new KeyFault(
      `The key is not lost: ${keyFile} holds ${held.fingerprint}, which is in force. To replace it, also when others may have seen it, run: mullion admin key rotate`,
    );
  }

  #author() {
    return { actorId: PROGRAM_ACTOR, now: new Date((this.ports.clock ?? Date.now)()) };
  }
}

async function studioOrigin(tx: Tx): Promise<string> {
  const row = await tx.first<{ origin: string }>(
    `SELECT origin FROM log WHERE log_id = ${OPEN_LOG}`,
    [STUDIO_LOG],
  );
  if (row === undefined) throw new KeyFault('There is no archive here yet: nothing was signed.');
  return row.origin;
}
