import { Inject, Injectable } from '@nestjs/common';
import {
  type MullionConfig,
  newestTimeToken,
  type StandingAlarm,
  standingAlarms,
  Tx,
} from '#libs/archive';
import type { PgPool } from '#libs/db';
import { formatVerifierKey } from '#libs/ledger';
import type { LogRow } from '../ledger/ledger.reader.js';
import { CONFIG, POOL } from '../platform/tokens.js';

interface Asked {
  askedAt: Date | null;
  trouble: string | null;
}

/** What witnesses and the time authority were asked and said of one log. */
@Injectable()
export class OutsideReader {
  readonly #tx: Tx;
  readonly #config: MullionConfig['outside'];

  constructor(@Inject(POOL) pool: PgPool, @Inject(CONFIG) config: MullionConfig) {
    this.#tx = new Tx(pool);
    this.#config = config.outside;
  }

  get config(): MullionConfig['outside'] {
    return this.#config;
  }

  get witnesses() {
    return this.#config.witnesses.map(({ url, key }) => ({
      name: key.name,
      verifierKey: formatVerifierKey(key),
      url,
    }));
  }

  async alarms(logs: readonly LogRow[]): Promise<StandingAlarm[]> {
    const readable = new Set(logs.map(({ logId }) => logId));
    return (await standingAlarms(this.#tx)).filter(({ logId }) => readable.has(logId));
  }

  async ofLog(log: LogRow) {
    const witnesses = [];
    for (const { name, verifierKey } of this.witnesses) {
      const newest = await this.#tx.first<{ size: number; statedAt: Date }>(
        `SELECT size, stated_at FROM cosignature WHERE origin = $1 AND key_name = $2
         ORDER BY size DESC LIMIT 1`,
        [log.origin, name],
      );
      witnesses.push({
        name,
        cosignedSize: newest?.size ?? null,
        cosignedAt: newest?.statedAt.toISOString() ?? null,
        ...(await this.#asked(log.origin, verifierKey)),
      });
    }
    const { logId, origin, siteId, size } = log;
    return { logId, origin, siteId, size, witnesses, time: await this.#time(log) };
  }

  async #time(log: LogRow) {
    const token = await newestTimeToken(this.#tx, log);
    const url = this.#config.timeAuthority?.url;
    if (token === undefined && url === undefined) return null;
    return {
      size: token?.size ?? null,
      statedAt: token?.statedAt.toISOString() ?? null,
      authority: token?.authority ?? null,
      ...(await this.#asked(log.origin, url ?? '')),
    };
  }

  async #asked(origin: string, whom: string) {
    const row = await this.#tx.first<Asked>(
      'SELECT asked_at, trouble FROM outside_ask WHERE origin = $1 AND whom = $2',
      [origin, whom],
    );
    return { askedAt: row?.askedAt?.toISOString() ?? null, trouble: row?.trouble ?? null };
  }
}
