// For deployments with a PostgreSQL of their own (docker-compose.yml): makes the two roles, the database
// and its tables, and the archive's signing key where there is none. Safe to run again.
import { generateKeyPairSync } from 'node:crypto';
import { existsSync, writeFileSync } from 'node:fs';
import { ensureDatabase, migrate, OWNER_ROLE } from '../dist/libs/db/src/index.js';

const DATABASE = 'mullion';

const adminUrl = required('MULLION_ADMIN_DATABASE_URL');
const owner = required('MULLION_OWNER_PASSWORD');
const application = required('MULLION_APP_PASSWORD');
const keyFile = required('MULLION_KEY_FILE');

await ensureDatabase(adminUrl, DATABASE, { owner, application });
const ownerUrl = new URL(adminUrl);
ownerUrl.username = OWNER_ROLE;
ownerUrl.password = owner;
ownerUrl.pathname = `/${DATABASE}`;
const applied = await migrate(ownerUrl.href);
console.log(applied.length === 0 ? 'The tables are current.' : `Applied ${applied.join(', ')}.`);

if (!existsSync(keyFile)) {
  if (applied.length === 0) {
    // A new key over an old ledger would look like a forgery to every later check.
    console.error(
      `${keyFile} is missing, but the database is not new: bring the key back from its copy.`,
    );
    process.exit(1);
  }
  const { privateKey } = generateKeyPairSync('ed25519');
  writeFileSync(keyFile, privateKey.export({ type: 'pkcs8', format: 'pem' }), {
    mode: 0o600,
    flag: 'wx',
  });
  console.log(`Made the archive's signing key ${keyFile}: keep a copy in a safe place.`);
}

function required(name) {
  const value = process.env[name];
  if (value) return value;
  console.error(`${name} is not set: docker-compose.yml shows what it holds.`);
  process.exit(2);
}
