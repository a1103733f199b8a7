/** A real S3 service for trials, behind a line that can be spoiled. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type FaultProxy, startFaultProxy } from './fault-proxy.js';

export interface TrialStore {
  readonly proxy: FaultProxy;
  /** for server and worker */
  readonly env: Readonly<Record<string, string>>;
  stop(): Promise<void>;
}

const SERVICE = fileURLToPath(new URL('../../services/s3.sh', import.meta.url));

/** @throws Error where the service cannot be had (it needs root and Debian packages) */
export async function startStore(): Promise<TrialStore> {
  const folder = mkdtempSync(join(tmpdir(), 'mullion-s3-'));
  const said = execFileSync(SERVICE, ['start', folder], {
    encoding: 'utf8',
    env: { ...process.env, S3_PORT: '7493', S3_MON_PORT: '16793' },
  });
  const read = (name: string) => new RegExp(`^${name}=(.*)$`, 'm').exec(said)![1]!;
  const endpoint = new URL(read('S3_ENDPOINT'));
  const proxy = await startFaultProxy('127.0.0.1', Number(endpoint.port));
  return {
    proxy,
    env: {
      MULLION_OBJECTS: `s3://trials?endpoint=${encodeURIComponent(`http://localhost:${proxy.port}`)}`,
      MULLION_S3_ACCESS_KEY: read('S3_ACCESS_KEY'),
      MULLION_S3_SECRET_KEY: read('S3_SECRET_KEY'),
    },
    async stop() {
      await proxy.close();
      execFileSync(SERVICE, ['stop', folder]);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
