/** How a kept assembly of shards is found by its words. */
import { panelPlace } from '../place.js';
import type { JoiningRow } from '../rows.js';
import type { Findable } from '../search-row.js';
import type { Tx } from '../tx.js';

type Kept = Pick<
  JoiningRow,
  'joiningId' | 'panelId' | 'piece' | 'missingMm2' | 'coverageRatio' | 'note'
> & { readonly laid: readonly unknown[] };

export async function joiningFindable(tx: Tx, kept: Kept): Promise<Findable> {
  const { windowMark, fullMark } = await panelPlace(tx, kept.panelId);
  const subject = `${fullMark}.${kept.piece}`;
  const count = kept.laid.length;
  return {
    kind: 'joining',
    rowId: kept.joiningId,
    subject,
    windowMark,
    title: `${subject}: assembly of ${count} ${count === 1 ? 'shard' : 'shards'}`,
    text: [
      'shards laid together',
      kept.missingMm2 === 0 ? null : `missing glass ${Math.round(kept.missingMm2)} mm²`,
      kept.coverageRatio === null ? null : `${Math.round(kept.coverageRatio * 100)} % covered`,
      kept.note,
    ],
  };
}
