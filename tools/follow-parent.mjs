import './keep-code.mjs';

// Preloaded into server and worker: when the launcher is gone, however it went, they go too.
const GRACE_MS = 8000;

if (process.channel) {
  process.on('disconnect', () => {
    setTimeout(() => process.exit(1), GRACE_MS).unref();
    process.kill(process.pid, 'SIGTERM');
  });
  process.channel.unref(); // a process that is done may still end by itself
}
