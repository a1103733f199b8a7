/** Stands between the archive and its S3 service and spoils the line on order. */
import { connect, createServer, type Server, type Socket } from 'node:net';

export type LineFault =
  | 'none'
  /** connections are taken, nothing is answered */
  | 'frozen'
  /** connections are ended at once */
  | 'refused'
  /** about 40 kB/s each way */
  | 'slow'
  /** each request is answered with 500 */
  | 'error-500'
  /** the answer, or the request, ends in the middle */
  | 'truncated';

export interface FaultProxy {
  readonly port: number;
  set(fault: LineFault): void;
  close(): Promise<void>;
}

const SLOW_BYTES = 4096;
const SLOW_MS = 100;

export async function startFaultProxy(targetHost: string, targetPort: number): Promise<FaultProxy> {
  let fault: LineFault = 'none';
  const open = new Set<Socket>();
  const server: Server = createServer((near) => {
    open.add(near);
    near.on('close', () => open.delete(near));
    near.on('error', () => near.destroy());
    if (fault === 'refused') {
      near.destroy();
      return;
    }
    const far = connect(targetPort, targetHost);
    open.add(far);
    far.on('close', () => {
      open.delete(far);
      near.destroy();
    });
    far.on('error', () => near.destroy());
    near.on('close', () => far.destroy());
    near.on('data', (chunk) => {
      forward(near, far, chunk, 'up');
    });
    far.on('data', (chunk) => {
      forward(far, near, chunk, 'down');
    });
  });

  /** The fault is asked for each chunk: connections are kept alive and outlast it. */
  function forward(from: Socket, to: Socket, chunk: Buffer, way: 'up' | 'down'): void {
    switch (fault) {
      case 'none':
        to.write(chunk);
        return;
      case 'frozen':
        return; // swallowed: neither side hears anything more on this connection
      case 'refused':
        from.destroy();
        to.destroy();
        return;
      case 'slow':
        from.pause();
        void trickle(to, chunk, () => fault === 'slow').then(() => from.resume());
        return;
      case 'error-500':
        if (way === 'up') {
          from.end(
            'HTTP/1.1 500 Internal Server Error\r\nContent-Length: 0\r\nConnection: close\r\n\r\n',
          );
          to.destroy();
        }
        return;
      case 'truncated':
        to.end(chunk.subarray(0, Math.floor(chunk.length / 2)));
        from.destroy();
    }
  }

  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      resolve();
    });
  });
  return {
    port: (server.address() as { port: number }).port,
    set(next) {
      // what was frozen stays so: its requests must come to their own end, not be woken
      if (fault === 'frozen' && next !== 'frozen') for (const socket of open) socket.destroy();
      fault = next;
    },
    async close() {
      for (const socket of open) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

async function trickle(to: Socket, chunk: Buffer, isSlow: () => boolean): Promise<void> {
  for (let at = 0; at < chunk.length && !to.destroyed; ) {
    const end = isSlow() ? at + SLOW_BYTES : chunk.length;
    to.write(chunk.subarray(at, end));
    at = end;
    if (isSlow()) await new Promise((resolve) => setTimeout(resolve, SLOW_MS));
  }
}
