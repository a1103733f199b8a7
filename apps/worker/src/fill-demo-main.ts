/** Fills the demo's home; started by `npm start` beside server and worker. May be run again. */
import { randomBytes, randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { KeyFile, openArchive, readConfig, startArchive, Tx } from '#libs/archive';
import { createPool } from '#libs/db';
import { openArchiveStore } from '#libs/objects';
import { DemoProgress } from './demo/demo-progress.js';
import { fillDemo } from './demo/fill-demo.js';

const config = readConfig(process.env);
if (!config.isDemo) throw new Error('MULLION_DEMO is not set: only the demo is filled');

const pool = createPool(config.databaseUrl, { max: 2 });
const progress = new DemoProgress(pool);
try {
  await progress.begin(await firstKeeper());
  await fillDemo({
    origin: `http://${config.host}:${config.port}`,
    picturesFolder: join(process.cwd(), 'fixtures', 'demo'),
    shardsFolder: join(process.cwd(), 'fixtures', 'shards'),
    step: (stage, ratio) => progress.step(stage, ratio),
    open: () => progress.open(),
  });
} finally {
  await progress.open(); // also when a step was refused: what is there can be looked at
  await pool.end();
}

/** The demo's studio head. Nobody knows the password: in the demo one signs in by role. */
async function firstKeeper(): Promise<string> {
  const found = await new Tx(pool).first<{ personId: string }>(
    `SELECT person_id FROM person WHERE login = 'studio-head'`,
  );
  if (found !== undefined) return found.personId;
  const ports = {
    pool,
    objects: await openArchiveStore(config),
    signer: KeyFile.open(config.keyFile),
    jobs: { send: () => Promise.reject(new Error('the first person asks for no job')) },
  };
  const archive = await openArchive(config, ports, console.error);
  const { answer } = await archive.run(
    startArchive,
    {
      displayName: 'Studio head',
      login: 'studio-head',
      password: randomBytes(24).toString('base64url'),
    },
    { actorId: randomUUID() },
  );
  await archive.close();
  return answer.personId;
}
