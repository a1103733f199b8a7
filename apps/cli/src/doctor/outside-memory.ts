import { standingAlarms, Tx } from '#libs/archive';
import type { DoctorCheck } from './check.js';

/** Whether witnesses and the time authority answer, and remember the same history as this archive. */
export const outsideMemory: DoctorCheck = {
  name: 'witnesses',
  async run({ pool, config }) {
    const tx = new Tx(pool);
    const [alarm, ...more] = await standingAlarms(tx);
    if (alarm !== undefined) {
      return {
        state: 'bad',
        says: `${alarm.says.replace(/\.$/, '')}${more.length === 0 ? '' : ` (and ${more.length} further alarms)`}`,
        doThis:
          'enter nothing more; mullion admin check, and ask the witness for its last checkpoint',
      };
    }
    const { witnesses, timeAuthority } = config.outside;
    if (witnesses.length === 0 && timeAuthority === undefined) {
      return {
        state: 'look',
        says: 'nobody outside remembers this history',
        doThis: 'name a witness (MULLION_WITNESSES) or a time authority (MULLION_TIME_AUTHORITY)',
      };
    }
    const trouble = await tx.first<{ trouble: string; failures: number }>(
      `SELECT trouble, failures FROM outside_ask WHERE trouble IS NOT NULL
       ORDER BY failures DESC LIMIT 1`,
    );
    if (trouble !== undefined) {
      return {
        state: 'look',
        says: `${trouble.trouble.replace(/\.$/, '')} (asked in vain ${trouble.failures} times)`,
        doThis:
          'see that it can be reached, and that its keeper knows this archive’s verifier keys',
      };
    }
    const last = await tx.first<{ at: Date | null }>('SELECT max(asked_at) AS at FROM outside_ask');
    return last?.at == null
      ? { state: 'look', says: 'nobody was asked yet', doThis: 'start the worker' }
      : { state: 'good', says: `remember the same history, asked last ${last.at.toISOString()}` };
  },
};
