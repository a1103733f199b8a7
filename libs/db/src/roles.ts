/**
 * Two roles of one archive: the owner makes and changes tables; the application may not alter what
 * the ledger holds (the grants are in prisma/sql). Works on the embedded server and on any other.
 */
import { randomBytes } from 'node:crypto';
import pg from 'pg';
import { keptSecret } from './private-file.js';

export const OWNER_ROLE = 'mullion_owner';
export const APPLICATION_ROLE = 'mullion_app';
/** Name of the database in the embedded server of a home. */
export const DATABASE = 'mullion';

export interface RoleSecrets {
  readonly owner: string;
  readonly application: string;
}

/** Random secrets, kept in 0600 files of the folder. */
export function keptRoleSecrets(secretFile: (name: string) => string): RoleSecrets {
  const made = () => randomBytes(24).toString('base64url');
  return {
    owner: keptSecret(secretFile('owner'), made),
    application: keptSecret(secretFile('application'), made),
  };
}

/**
 * Makes roles and database where they are missing and sets the roles' passwords. Safe to repeat.
 * @param adminUrl of a role that may create roles and databases, on any database but `database`
 */
export async function ensureDatabase(
  adminUrl: string,
  database: string,
  secrets: RoleSecrets,
): Promise<void> {
  const client = new pg.Client({ connectionString: adminUrl });
  await client.connect();
  try {
    await ensureRole(client, OWNER_ROLE, secrets.owner);
    await ensureRole(client, APPLICATION_ROLE, secrets.application);
    const name = pg.escapeIdentifier(database);
    const found = await client.query('select 1 from pg_database where datname = $1', [database]);
    if (found.rowCount === 0) {
      // PostgreSQL 16 on: who creates a database for another role must be able to become that role
      await client.query(`grant ${OWNER_ROLE} to current_user`);
      await client.query(`create database ${name} owner ${OWNER_ROLE}`);
    }
    await client.query(`revoke all on database ${name} from public`);
    // `create`: the job queue keeps a schema of its own
    await client.query(
      `grant connect, create, temporary on database ${name} to ${APPLICATION_ROLE}`,
    );
  } finally {
    await client.end();
  }
}

async function ensureRole(client: pg.Client, role: string, password: string): Promise<void> {
  const found = await client.query('select 1 from pg_roles where rolname = $1', [role]);
  const verb = found.rowCount === 0 ? 'create' : 'alter';
  await client.query(`${verb} role ${role} with login password ${pg.escapeLiteral(password)}`);
}
