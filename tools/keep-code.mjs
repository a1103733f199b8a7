// Imported first by each program: Node keeps the machine code of what it loads, so that the next start of
// server, worker or command costs about a fifth less. Where the folder cannot be written nothing is kept.
import * as nodeModule from 'node:module';
import { fileURLToPath } from 'node:url';

// Node 20, which only opens the door, has no such store
nodeModule.enableCompileCache?.(
  fileURLToPath(new URL('../node_modules/.cache/mullion/code', import.meta.url)),
);
