/** Sections of old came that were gauged at cut ends while panels were taken apart. */
import type { CameProfile } from '#libs/net';
import type { Tx } from '../tx.js';

export interface Gauge {
  /** width class of the lead drawing */
  readonly widthClassMm: number;
  readonly kind: 'outer' | 'came';
  readonly profile: CameProfile;
  /** EDTF; the day of recording where nobody said one */
  readonly on: string;
}

/**
 * Of each panel what was gauged on it, the last said first.
 *
 * @returns by panel; a panel on which nobody gauged is not in it
 */
export async function gaugesOf(
  tx: Tx,
  panelIds: readonly string[],
): Promise<Map<string, readonly Gauge[]>> {
  const rows = await tx.query<{
    panelId: string;
    gauges: Omit<Gauge, 'on'>[];
    happened: string | null;
    recordedAt: Date;
  }>(
    `SELECT panel_id, detail -> 'gauges' AS gauges, happened, recorded_at FROM work_step
     WHERE kind = 'dismantle' AND panel_id = ANY ($1) AND jsonb_array_length(detail -> 'gauges') > 0
     ORDER BY entry_seq DESC`,
    [panelIds],
  );
  const found = new Map<string, readonly Gauge[]>();
  for (const { panelId, gauges, happened, recordedAt } of rows) {
    const on = happened ?? recordedAt.toISOString().slice(0, 10);
    found.set(panelId, [
      ...(found.get(panelId) ?? []),
      ...gauges.toReversed().map((gauge) => ({ ...gauge, on })),
    ]);
  }
  return found;
}
