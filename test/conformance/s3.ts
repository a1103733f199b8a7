/** The object store on a real S3 service, asked by the contract that the folder passes too, and a backup to it. */
import { spawnSync } from 'node:child_process';
import { startS3Service } from '../support/s3-service.js';
import { check } from './check.js';
import { checkBackupToS3 } from './s3-backup.js';

export async function checkS3(): Promise<void> {
  const service = await startS3Service();
  try {
    const { status } = spawnSync('npm', ['run', '-s', 'jest', '--', 'libs/objects/src/s3'], {
      env: {
        ...process.env,
        S3_ENDPOINT: service.endpoint,
        S3_ACCESS_KEY: service.accessKey,
        S3_SECRET_KEY: service.secretKey,
      },
      stdio: 'inherit',
    });
    check('objects: contract, Object Lock and faults on Ceph RADOS Gateway', status === 0);
    await checkBackupToS3(service);
  } finally {
    service.stop();
  }
}
