/** Keeper, protection, maker and technique of a condition record: from the nearest place that says them. */
import type { ConditionRecord } from '#libs/records';
import { backgroundsAt, nearestSaid } from '../backgrounds.js';
import type { Tx } from '../tx.js';

type Background = Pick<ConditionRecord, 'keeper' | 'protection' | 'technique' | 'made'>;

export async function recordBackground(tx: Tx, siteId: string, mark: string): Promise<Background> {
  const rows = await backgroundsAt(tx, siteId, mark);
  const textOf = (member: 'keeper' | 'protection' | 'technique') => {
    const found = nearestSaid(rows, member);
    if (found === null) return null;
    return found.mark === mark ? found.said : `${found.said} (said of ${found.mark})`;
  };
  const made = nearestSaid(rows, 'made');
  return {
    keeper: textOf('keeper'),
    protection: textOf('protection'),
    technique: textOf('technique'),
    made:
      made === null
        ? null
        : {
            happened: made.said.happened,
            by: made.said.by ?? null,
            source:
              [made.said.source, made.mark === mark ? undefined : `said of ${made.mark}`]
                .filter((text) => text !== undefined)
                .join(', ') || null,
          },
  };
}
