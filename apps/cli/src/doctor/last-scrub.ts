import { type ScrubRow, ScrubRun, Tx } from '#libs/archive';
import type { DoctorCheck } from './check.js';

export const lastScrub: DoctorCheck = {
  name: 'last scrub',
  async run({ pool, config }) {
    const tx = new Tx(pool);
    const row = await tx.first<ScrubRow>('SELECT * FROM scrub ORDER BY ended_at DESC LIMIT 1');
    const isUnderWay = await ScrubRun.isUnderWay(tx);
    const now = isUnderWay ? '; one is under way' : '';
    if (row === undefined) {
      return {
        state: isUnderWay ? 'good' : 'look',
        says: `the objects were never read again since they were stored${now}`,
        ...(isUnderWay ? {} : { doThis: 'mullion admin scrub' }),
      };
    }
    const when = row.endedAt.toISOString().slice(0, 10);
    const left = row.troubles - row.mended;
    if (left > 0) {
      return {
        state: 'bad',
        says: `${when}: ${left} objects or checkpoints are damaged or missing and not mended${now}`,
        doThis: `mullion admin scrub --repair names them (report ${row.report})`,
      };
    }
    const isOld = Date.now() - row.endedAt.getTime() > 2 * config.scrub.everyMs;
    return {
      state: isOld && !isUnderWay ? 'look' : 'good',
      says: `${when}: ${row.objects} objects whole in ${row.stores.join(' and ')}${row.mended > 0 ? `, ${row.mended} mended` : ''}${now}`,
      ...(isOld && !isUnderWay ? { doThis: 'mullion admin scrub' } : {}),
    };
  },
};
