/**
 * node --import ./test/run-source.mjs test/support/make-ledger-fixture.mjs DIR
 *
 * Writes a history with every type of entry as this version writes it. Run once a version, before
 * the form of a payload changes; what is there already is never written again.
 */
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Archive, signerFromKey, uuidV7 } from '#libs/archive';
import { createPool, createTestDatabase } from '#libs/db';
import { openObjectStore } from '#libs/objects';
import { useEveryCommand } from './every-command.js';
import setUp from './global-setup.mjs';
import tearDown from './global-teardown.mjs';
import { writeLedgerFixture } from './ledger-fixture.js';
import { PUBLISHED_KEY } from './published-key.js';

const [folder] = process.argv.slice(2);
if (folder === undefined || existsSync(folder)) {
  throw new Error('name a folder that is not there yet');
}
await setUp();
const scratch = await mkdtemp(join(tmpdir(), 'ledger-fixture-'));
const database = await createTestDatabase();
const pool = createPool(database.applicationUrl, { max: 4 });
try {
  const objects = await openObjectStore(`file:${scratch}/objects`);
  let nowMs = Date.parse('2026-11-25T08:00:00.000Z');
  const archive = await Archive.open({
    pool,
    objects,
    signer: signerFromKey(PUBLISHED_KEY),
    jobs: { send: () => Promise.resolve() },
    clock: () => (nowMs += 1000),
  });
  await useEveryCommand(archive, uuidV7(nowMs));
  await archive.close();
  await writeLedgerFixture(pool, objects, folder);
} finally {
  await pool.end();
  await database.drop();
  await rm(scratch, { recursive: true, force: true });
  await tearDown();
}
