import { scrubHealth, Tx } from '#libs/archive';
import { asFinding, type DoctorCheck } from './check.js';

const STATES = { none: 'look', old: 'look', damaged: 'bad', good: 'good' } as const;

export const lastScrub: DoctorCheck = {
  name: 'last scrub',
  async run({ pool, config }) {
    const health = await scrubHealth(new Tx(pool), config.scrub.everyMs, new Date());
    return asFinding(STATES[health.state], health);
  },
};
