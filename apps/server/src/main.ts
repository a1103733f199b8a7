import 'reflect-metadata';
import { readConfig } from '#libs/archive';
import { tellLauncher } from './platform/launcher.js';
import { startServer } from './start-server.js';

const server = await startServer(readConfig(process.env));
if (!tellLauncher({ kind: 'ready', url: server.url, phones: server.phones }))
  console.log(`Mullion at ${server.url}`);

let isClosing = false;
async function close(): Promise<void> {
  if (isClosing) return;
  isClosing = true;
  await server.close();
  process.exit(0);
}
process.on('SIGTERM', () => void close());
process.on('SIGINT', () => void close());
// Without its launcher nobody could stop it.
process.on('disconnect', () => void close());
