/**
 * The object store on a real S3 service: Ceph RADOS Gateway from Debian packages (test/services/s3.sh),
 * started here, asked by the contract that the folder passes too, and stopped.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { check } from './check.js';

const SCRIPT = fileURLToPath(new URL('../services/s3.sh', import.meta.url));

export async function checkS3(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 's3-service-'));
  const env = {
    ...process.env,
    S3_PORT: String(await freePort()),
    S3_MON_PORT: String(await freePort()),
  };
  try {
    // needs root and the package archive, and says so; without it nothing was checked
    const told = execFileSync('bash', [SCRIPT, 'start', folder], { env, encoding: 'utf8' });
    const given = Object.fromEntries(
      told
        .trim()
        .split('\n')
        .map((line) => [line.slice(0, line.indexOf('=')), line.slice(line.indexOf('=') + 1)]),
    );
    const { status } = spawnSync('npm', ['run', '-s', 'jest', '--', 'libs/objects/src/s3'], {
      env: { ...env, ...given },
      stdio: 'inherit',
    });
    check('objects: contract, Object Lock and faults on Ceph RADOS Gateway', status === 0);
  } finally {
    spawnSync('bash', [SCRIPT, 'stop', folder], { env });
    rmSync(folder, { recursive: true, force: true });
  }
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address() as { port: number };
      server.close(() => {
        resolve(port);
      });
    });
  });
}
