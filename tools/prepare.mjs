// What the tests stand on, before the first of them: packages, the built program, a browser.
import { build, install, useOwnNode } from './bootstrap.mjs';

install();
await useOwnNode(import.meta.url);
await build();
const { findChromium, installChromium } = await import('./chromium.mjs');
if (findChromium() === undefined) installChromium();
