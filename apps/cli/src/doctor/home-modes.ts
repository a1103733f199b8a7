import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { DoctorCheck } from './check.js';

/** Read and write for anybody but the owner; passing through alone shows nothing. */
const OTHERS = 0o066;
const THROUGH = 0o011;

/** What lies in the home is for one account only: keys, sessions, people's names. */
export const homeModes: DoctorCheck = {
  name: 'home is private',
  async run({ homePath }) {
    const home = (await stat(homePath)).mode;
    const open = (home & OTHERS) === 0 ? [] : [homePath];
    if ((home & THROUGH) !== 0) {
      for (const name of await readdir(homePath)) {
        const path = join(homePath, name);
        if (((await stat(path)).mode & OTHERS) !== 0) open.push(path);
      }
    }
    if (open.length === 0) return { state: 'good', says: `only its owner may read ${homePath}` };
    return {
      state: 'bad',
      says: `others on this machine may read ${open.slice(0, 3).join(', ')}`,
      doThis: `chmod go-rw ${open.slice(0, 3).join(' ')}`,
    };
  },
};
