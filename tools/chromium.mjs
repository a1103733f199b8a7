// The browser that the browser tests drive: any Chromium the machine has.
import { spawnSync } from 'node:child_process';
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';
import { say } from './bootstrap.mjs';

const NAMES = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'chrome',
  'microsoft-edge',
];
const MAC_APPLICATIONS = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];

/** Path of the program: CHROMIUM, else the first one found. */
export function findChromium() {
  const given = process.env.CHROMIUM;
  if (given) return isProgram(given) ? given : undefined;
  const folders = (process.env.PATH ?? '').split(delimiter).filter(Boolean);
  const candidates = NAMES.flatMap((name) => folders.map((folder) => join(folder, name)));
  return [...candidates, ...MAC_APPLICATIONS].find(isProgram);
}

/** Root on a machine with Debian packages installs it; anybody else is told the line by the caller. */
export function installChromium() {
  if (process.getuid?.() !== 0 || process.env.CHROMIUM) return undefined;
  if (spawnSync('apt-get', ['--version']).status !== 0) return undefined;
  say('Installing Chromium from the system packages, for the browser tests.');
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  for (const args of [
    ['update', '-qq'],
    ['install', '-y', '-qq', '--no-install-recommends', 'chromium'],
  ]) {
    if (spawnSync('apt-get', args, { env, stdio: ['ignore', 'ignore', 'inherit'] }).status !== 0)
      break;
  }
  return findChromium();
}

function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
