#!/usr/bin/env node
// The `mullion` command. It runs what `npm run build:node` made.
import { existsSync } from 'node:fs';
import './keep-code.mjs';

const built = new URL('../dist/apps/cli/src/main.js', import.meta.url);
if (existsSync(built)) {
  await import(built.href);
} else {
  process.stderr.write('mullion is not built yet: run "npm ci" and "npm run build:node" first.\n');
  process.exitCode = 2;
}
