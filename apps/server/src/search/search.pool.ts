import { Inject, Injectable, type OnApplicationShutdown } from '@nestjs/common';
import type { MullionConfig } from '#libs/archive';
import { createPool, type PgPool } from '#libs/db';
import { CONFIG } from '../platform/tokens.js';

/** As many questions at once; the next ones wait, and the archive's other work goes on beside them. */
const AT_ONCE = 4;

/**
 * Connections of their own for searching. Room for a bitmap of a hundred thousand rows: with the 4 MB
 * that others need it forgets which rows of a page it meant, and each is looked at again (700 ms instead
 * of 90). Helpers cost more to start than they give where answers end after some thousand rows.
 */
export const SEARCH_SETTINGS = {
  work_mem: '64MB',
  max_parallel_workers_per_gather: '0',
  random_page_cost: '1.5',
};

@Injectable()
export class SearchPool implements OnApplicationShutdown {
  readonly pool: PgPool;

  constructor(@Inject(CONFIG) config: MullionConfig) {
    this.pool = createPool(config.databaseUrl, { max: AT_ONCE, settings: SEARCH_SETTINGS });
  }

  async onApplicationShutdown(): Promise<void> {
    await this.pool.end();
  }
}
