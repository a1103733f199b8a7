// npm start: see README.md. This file is only the door: it must run on Node 20 in a fresh clone.
import { build, install, useOwnNode } from './bootstrap.mjs';

install();
await useOwnNode(import.meta.url);
await build();
const { launch } = await import('./launch.mjs');
await launch(process.argv.slice(2));
