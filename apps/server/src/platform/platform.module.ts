import { type DynamicModule, Inject, Module, type OnApplicationShutdown } from '@nestjs/common';
import { PgBoss } from 'pg-boss';
import {
  Archive,
  ArchiveKeys,
  bossSender,
  ensureQueues,
  KeyFile,
  type MullionConfig,
  openArchive,
} from '#libs/archive';
import { createPool, Db, type PgPool } from '#libs/db';
import { type ObjectStore, openArchiveStore, storeReports } from '#libs/objects';
import { LanDoor } from '../lan/lan-door.js';
import { Readable } from './readable.js';
import { Sessions } from './sessions.js';
import { BOSS, CONFIG, OBJECTS, POOL } from './tokens.js';

/** What every feature may use: configuration, database, objects, archive, queue. */
@Module({})
export class PlatformModule implements OnApplicationShutdown {
  constructor(
    @Inject(POOL) private readonly pool: PgPool,
    @Inject(BOSS) private readonly boss: PgBoss,
    private readonly db: Db,
    private readonly archive: Archive,
  ) {}

  static with(config: MullionConfig): DynamicModule {
    return {
      module: PlatformModule,
      global: true,
      providers: [
        { provide: CONFIG, useValue: config },
        { provide: POOL, useFactory: () => createPool(config.databaseUrl) },
        { provide: Db, useFactory: () => new Db(config.databaseUrl) },
        {
          provide: OBJECTS,
          useFactory: () => openArchiveStore(config, storeReports(console.error)),
        },
        { provide: BOSS, useFactory: () => startBoss(config) },
        {
          provide: ArchiveKeys,
          useFactory: (pool: PgPool, objects: ObjectStore) => {
            const { keyFile, home, retainCheckpointsMs } = config;
            return new ArchiveKeys({ pool, objects, keyFile, home, retainCheckpointsMs });
          },
          inject: [POOL, OBJECTS],
        },
        {
          provide: Archive,
          useFactory: async (
            pool: PgPool,
            objects: ObjectStore,
            boss: PgBoss,
            keys: ArchiveKeys,
          ) => {
            await keys.settle();
            const signer = KeyFile.open(config.keyFile);
            const ports = { pool, objects, signer, jobs: bossSender(boss) };
            const archive = await openArchive(config, ports, console.error);
            await keys.announceFirst(signer);
            return archive;
          },
          inject: [POOL, OBJECTS, BOSS, ArchiveKeys],
        },
        Sessions,
        Readable,
        LanDoor,
      ],
      exports: [CONFIG, POOL, Db, OBJECTS, BOSS, Archive, ArchiveKeys, Sessions, Readable, LanDoor],
    };
  }

  async onApplicationShutdown(): Promise<void> {
    await this.archive.close();
    await this.boss.stop({ graceful: true, timeout: 5000 });
    await this.db.$disconnect();
    await this.pool.end();
  }
}

/** The server only puts jobs in; looking after the queues is the worker's. */
async function startBoss(config: MullionConfig): Promise<PgBoss> {
  const boss = new PgBoss({
    connectionString: config.databaseUrl,
    max: 2,
    supervise: false,
    schedule: false,
  });
  boss.on('error', (error: Error) => {
    console.error(`the job queue reports: ${error.message}`);
  });
  await boss.start();
  await ensureQueues(boss);
  return boss;
}
