/**
 * A database of its own for a test file, copied from a migrated template (about 0.1 s). The server
 * is started once by Jest's global set-up (test/support/global-setup.mjs).
 */
import { randomBytes } from 'node:crypto';
import pg from 'pg';
import { z } from 'zod';
import { socketUrl } from './embedded-postgres.js';
import { APPLICATION_ROLE, OWNER_ROLE } from './roles.js';

/** Name of the environment variable by which the set-up tells the test files. */
export const TEST_SERVER_VARIABLE = 'MULLION_TEST_SERVER';

const testServerSchema = z.object({
  adminUrl: z.string(),
  socketFolder: z.string(),
  template: z.string(),
  owner: z.string(),
  application: z.string(),
});
export type TestServer = z.infer<typeof testServerSchema>;

export interface TestDatabase {
  readonly name: string;
  /** as the server connects */
  readonly applicationUrl: string;
  /** as migrations connect */
  readonly ownerUrl: string;
  drop(): Promise<void>;
}

export async function createTestDatabase(): Promise<TestDatabase> {
  const server = testServer();
  const name = `test_${randomBytes(6).toString('hex')}`;
  await asAdmin(server, async (client) => {
    await client.query(`create database ${name} template ${server.template} owner ${OWNER_ROLE}`);
    await client.query(
      `grant connect, create, temporary on database ${name} to ${APPLICATION_ROLE}`,
    );
  });
  return {
    name,
    applicationUrl: socketUrl(server.socketFolder, APPLICATION_ROLE, server.application, name),
    ownerUrl: socketUrl(server.socketFolder, OWNER_ROLE, server.owner, name),
    drop: () =>
      asAdmin(server, async (client) => {
        await client.query(`drop database if exists ${name} with (force)`);
      }),
  };
}

/** An empty server-wide connection for tests of libs/db itself. */
export function testServer(): TestServer {
  const text = process.env[TEST_SERVER_VARIABLE];
  if (text === undefined) {
    throw new Error(
      'No test database server: run this file with `npm test -- <path>` or `npm run jest -- <path>`, whose set-up starts one.',
    );
  }
  return testServerSchema.parse(JSON.parse(text));
}

async function asAdmin(
  server: TestServer,
  work: (client: pg.Client) => Promise<void>,
): Promise<void> {
  const client = new pg.Client({ connectionString: server.adminUrl });
  await client.connect();
  try {
    await work(client);
  } finally {
    await client.end();
  }
}
