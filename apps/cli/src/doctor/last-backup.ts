import { backupHealth, Tx } from '#libs/archive';
import { asFinding, type DoctorCheck } from './check.js';

const STATES = {
  good: 'good',
  none: 'look',
  failing: 'bad',
  'same-disk': 'look',
  old: 'look',
  lossy: 'bad',
} as const;

export const lastBackup: DoctorCheck = {
  name: 'backup',
  async run({ pool, config: { isDemo } }) {
    if (isDemo) return { state: 'good', says: 'the demo may be thrown away and needs none' };
    const health = await backupHealth(new Tx(pool), new Date());
    return asFinding(STATES[health.state], health);
  },
};
