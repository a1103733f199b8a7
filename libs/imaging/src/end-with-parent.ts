import { Worker } from 'node:worker_threads';

const LOOK_MS = 500;

/**
 * Ends this process with SIGKILL soon after its parent is gone, even while the main thread hangs in a
 * decoder: a thread of its own looks whether the parent is still the same.
 */
export function endWithParent(): void {
  const look = `
    setInterval(() => {
      if (process.ppid !== ${process.ppid}) process.kill(process.pid, 'SIGKILL');
    }, ${LOOK_MS});
  `;
  new Worker(look, { eval: true }).unref();
}
