/** A real S3 service for trials, behind a line that can be spoiled. */
import { startS3Service } from '../../support/s3-service.js';
import { type FaultProxy, startFaultProxy } from './fault-proxy.js';

export interface TrialStore {
  readonly proxy: FaultProxy;
  /** for server and worker */
  readonly env: Readonly<Record<string, string>>;
  stop(): Promise<void>;
}

/** @throws Error where the service cannot be had */
export async function startStore(): Promise<TrialStore> {
  const service = await startS3Service();
  const proxy = await startFaultProxy('127.0.0.1', Number(new URL(service.endpoint).port));
  const near = encodeURIComponent(`http://localhost:${proxy.port}`);
  return {
    proxy,
    env: {
      MULLION_OBJECTS: `s3://trials?endpoint=${near}`,
      MULLION_S3_ACCESS_KEY: service.accessKey,
      MULLION_S3_SECRET_KEY: service.secretKey,
    },
    async stop() {
      await proxy.close();
      service.stop();
    },
  };
}
