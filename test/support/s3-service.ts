/**
 * A real S3 service on loopback: Ceph RADOS Gateway from Debian packages (test/services/s3.sh). It needs
 * root and the package archive, and says so.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { freePort } from './free-port.js';

const SCRIPT = fileURLToPath(new URL('../services/s3.sh', import.meta.url));

export interface S3Service {
  readonly endpoint: string;
  readonly accessKey: string;
  readonly secretKey: string;
  stop(): void;
}

/** @throws Error with the script's words where the service cannot be had */
export async function startS3Service(): Promise<S3Service> {
  const folder = mkdtempSync(join(tmpdir(), 's3-service-'));
  const env = {
    ...process.env,
    S3_PORT: String(await freePort()),
    S3_MON_PORT: String(await freePort()),
  };
  const stop = () => {
    execFileSync('bash', [SCRIPT, 'stop', folder], { env });
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    const said = execFileSync('bash', [SCRIPT, 'start', folder], { env, encoding: 'utf8' });
    const told = (name: string) => new RegExp(`^${name}=(.*)$`, 'm').exec(said)![1]!;
    return {
      endpoint: told('S3_ENDPOINT'),
      accessKey: told('S3_ACCESS_KEY'),
      secretKey: told('S3_SECRET_KEY'),
      stop,
    };
  } catch (error) {
    stop();
    throw error;
  }
}
