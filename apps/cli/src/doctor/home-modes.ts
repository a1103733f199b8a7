import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { DoctorCheck } from './check.js';

const OTHERS = 0o077;

/** What lies in the home is for one account only: keys, sessions, people's names. */
export const homeModes: DoctorCheck = {
  name: 'home is private',
  async run({ homePath }) {
    const open: string[] = [];
    const look = async (path: string) => {
      const { mode } = await stat(path);
      if ((mode & OTHERS) !== 0) open.push(`${path} (${(mode & 0o777).toString(8)})`);
    };
    await look(homePath);
    for (const name of await readdir(homePath)) await look(join(homePath, name));
    if (open.length === 0) return { state: 'good', says: `only its owner may read ${homePath}` };
    // behind a private folder nobody reaches what lies in it
    const isReachable = open[0]!.startsWith(`${homePath} (`);
    if (!isReachable) {
      return { state: 'good', says: `${homePath} lets nobody else in` };
    }
    return {
      state: 'bad',
      says: `others on this machine may read ${open.slice(0, 3).join(', ')}`,
      doThis: `chmod 700 ${homePath}`,
    };
  },
};
