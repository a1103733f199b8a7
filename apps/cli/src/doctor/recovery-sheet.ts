import { keysOfArchive, Tx } from '#libs/archive';
import { entryName } from '#libs/ledger';
import type { DoctorCheck } from './check.js';

export const recoverySheet: DoctorCheck = {
  name: 'recovery sheet',
  async run({ openKeys, pool, config: { isDemo } }) {
    const { successor } = await keysOfArchive(new Tx(pool));
    if (successor === null) {
      return {
        state: 'look',
        says: 'no successor of the key is announced: a lost key could only be replaced by one that nobody vouches for',
        doThis: 'mullion admin recovery-sheet, then print what it writes',
      };
    }
    if (!isDemo && (await (await openKeys()).sheetToPrint()) !== undefined) {
      return {
        state: 'look',
        says: 'the words of the sheet lie in the home: it is not printed and put away yet',
        doThis: 'print it in the studio, or by mullion admin recovery-sheet',
      };
    }
    return {
      state: 'good',
      says: `its key ${successor.fingerprint} is announced at ${entryName(successor.announcedAt)}`,
    };
  },
};
