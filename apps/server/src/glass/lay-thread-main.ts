/** The thread's side of `lay-thread.ts`. */
import { parentPort } from 'node:worker_threads';
import { layPieces } from '#libs/cutting';
import type { FromLayThread, ToLayThread } from './lay-thread.js';

const port = parentPort!;

function tell(message: FromLayThread): void {
  port.postMessage(message);
}

port.on('message', ({ id, asked }: ToLayThread) => {
  try {
    tell({ id, cutting: layPieces(...asked) });
  } catch (error) {
    tell({ id, broken: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  }
});
