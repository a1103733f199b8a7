/** What the archive says of movements, as libs/custody reads it. */
import type { At, CustodyFact, Passing } from '#libs/custody';
import { EPOCH_STEP } from '#libs/ledger';
import { daysAsRecorded } from '../happened.js';
import type { HandoverRow, MovementRow } from '../rows.js';
import type { Tx } from '../tx.js';

/** Which facts count. */
export interface FactsAsOf {
  /** last day that counts, YYYY-MM-DD; null: every day */
  readonly until: string | null;
  /** place of the newest entry that counts; null: all */
  readonly knownPlace: number | null;
}

const NOW: FactsAsOf = { until: null, knownPlace: null };

/** The day by which it had surely happened; '' where only its end is open. */
export const settledDay = (happened: string | null, recordedAt: Date): string =>
  daysAsRecorded(happened, recordedAt).last ?? '';

/**
 * Every fact about where the things of a site are.
 *
 * @param panelMarks full marks of the panels whose state of work counts: in place, out, on the bench
 */
export async function custodyFacts(
  tx: Tx,
  siteId: string,
  panelMarks: readonly string[],
  asOf: FactsAsOf = NOW,
): Promise<CustodyFact[]> {
  const [moved, states] = await Promise.all([
    movementFacts(tx, siteId, asOf),
    stateFacts(tx, siteId, panelMarks, asOf),
  ]);
  return [...moved, ...states].filter(({ day }) => asOf.until === null || day <= asOf.until);
}

async function movementFacts(
  tx: Tx,
  siteId: string,
  { until, knownPlace }: FactsAsOf,
): Promise<CustodyFact[]> {
  const [movements, handovers] = await Promise.all([
    tx.query<MovementRow>(
      `SELECT * FROM movement WHERE site_id = $1
         AND ($2::bigint IS NULL AND state = 'recorded'
           OR entry_seq <= $2 AND coalesce(withdrawn_seq > $2, true))
       ORDER BY entry_seq`,
      [siteId, knownPlace],
      ['movement'],
    ),
    tx.query<HandoverRow>(
      `SELECT * FROM handover WHERE site_id = $1 AND ($2::bigint IS NULL OR entry_seq <= $2)
       ORDER BY entry_seq`,
      [siteId, knownPlace],
      ['handover'],
    ),
  ]);
  const byMovement = new Map<string, HandoverRow[]>();
  for (const row of handovers)
    if (until === null || settledDay(row.happened, row.recordedAt) <= until)
      byMovement.set(row.movementId, [...(byMovement.get(row.movementId) ?? []), row]);
  return movements.flatMap((row) => factsOf(row, byMovement.get(row.movementId) ?? []));
}

function factsOf(row: MovementRow, handovers: readonly HandoverRow[]): CustodyFact[] {
  const to = row.toPlace as At;
  const fact: CustodyFact = {
    day: settledDay(row.happened, row.recordedAt),
    seq: Number(row.entrySeq),
    movementId: row.movementId,
    things: row.things,
    crateIds: row.crates,
    to,
    slots: row.slots as Record<string, string>,
    unpacks: false,
    passing: passingOf(to, handovers),
    why: row.why,
    isTemporary: row.temporary,
    expectedReturn: row.expectedReturn,
  };
  const unpacked = handovers.flatMap((handover): CustodyFact[] =>
    handover.unpackedTo === null
      ? []
      : [
          {
            ...fact,
            day: settledDay(handover.happened, handover.recordedAt),
            seq: Number(handover.entrySeq),
            to: handover.unpackedTo as At,
            unpacks: true,
            slots: {},
            isTemporary: false,
            expectedReturn: null,
          },
        ],
  );
  return [fact, ...unpacked];
}

export function passingOf(to: At, handovers: readonly Pick<HandoverRow, 'side'>[]): Passing {
  if (handovers.some(({ side }) => side === 'receiver')) return 'taken';
  if (handovers.length > 0) return 'given';
  return to.kind === 'holder' ? 'due' : 'none';
}

/** Entries that say a panel's state of work; each names it in its payload. */
export const STATE_ENTRIES = [
  'panel.describe',
  'removal.record',
  'dismantling.lift',
  'dismantling.record',
  'rebuild.check',
  'refix.record',
];

/** Where a state of work says that the panel is; a rebuilt panel is where it was. */
const PLACE_OF_STATE: Readonly<Record<string, At | undefined>> = {
  'in-place': { kind: 'opening' },
  out: { kind: 'window' },
  'on-bench': { kind: 'bench' },
};

async function stateFacts(
  tx: Tx,
  siteId: string,
  panelMarks: readonly string[],
  { knownPlace }: FactsAsOf,
): Promise<CustodyFact[]> {
  if (panelMarks.length === 0) return [];
  const rows = await tx.query<{
    mark: string;
    place: number;
    workState: string | null;
    happened: string | null;
    recordedAt: Date;
  }>(
    `SELECT e.subject AS mark, (l.epoch - 1) * ${EPOCH_STEP} + e.seq AS place, e.happened,
            e.recorded_at, convert_from(e.bytes, 'UTF8')::jsonb -> 'payload' ->> 'workState' AS work_state
     FROM log l JOIN entry e USING (log_id)
     WHERE l.site_id = $1 AND e.subject = ANY($2) AND e.type = ANY($3)
       AND ($4::bigint IS NULL OR (l.epoch - 1) * ${EPOCH_STEP} + e.seq <= $4)
     ORDER BY l.epoch, e.seq`,
    [siteId, panelMarks, STATE_ENTRIES, knownPlace],
  );
  const last = new Map<string, string>();
  return rows.flatMap(({ mark, place, workState, happened, recordedAt }): CustodyFact[] => {
    if (workState === null || workState === (last.get(mark) ?? 'in-place')) return [];
    last.set(mark, workState);
    const to = PLACE_OF_STATE[workState];
    if (to === undefined) return [];
    return [
      {
        day: settledDay(happened, recordedAt),
        seq: place,
        movementId: null,
        things: [mark],
        crateIds: [],
        to,
        slots: {},
        unpacks: false,
        passing: 'none',
        why: null,
        isTemporary: false,
        expectedReturn: null,
      },
    ];
  });
}
