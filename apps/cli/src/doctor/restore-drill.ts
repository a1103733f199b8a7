import { drillHealth, Tx } from '#libs/archive';
import { asFinding, type DoctorCheck } from './check.js';

export const restoreDrill: DoctorCheck = {
  name: 'restore drill',
  async run({ pool, config: { isDemo } }) {
    if (isDemo) return { state: 'good', says: 'the demo may be thrown away and needs none' };
    const health = await drillHealth(new Tx(pool), new Date());
    return asFinding(health.state === 'good' ? 'good' : 'look', health);
  },
};
