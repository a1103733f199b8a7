import { readConfig } from '#libs/archive';
import { startWorker } from './start-worker.js';

const worker = await startWorker(readConfig(process.env));
if (process.send === undefined) console.log('Mullion worker is ready');
else process.send({ kind: 'ready' });

let isClosing = false;
async function close(): Promise<void> {
  if (isClosing) return;
  isClosing = true;
  await worker.close();
  process.exit(0);
}
process.on('SIGTERM', () => void close());
process.on('SIGINT', () => void close());
// Without its launcher nobody could stop it.
process.on('disconnect', () => void close());
