/** Where names stand in the rows that people read, and how they are taken out of them. */
import { findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { refreshIntervention, refreshMedia } from './refresh-search.js';
import { type EntryName, pseudonymOf, shownName } from './sealed-name.js';

export type NameKind =
  | 'consent'
  | 'handover'
  | 'intervention'
  | 'media'
  | 'movement'
  | 'proposal'
  | 'rubbing'
  | 'withdrawal';

export interface NameAt {
  readonly kind: NameKind;
  readonly rowId: string;
  readonly field: string;
}

interface SiteEntry {
  readonly siteId: string | null;
  readonly origin: string;
}

/**
 * For projections: the name to show in a row, whose place is noted so that it can be taken out
 * again. No name, or one that an old entry has in clear: nothing stands there to be taken out.
 */
export async function placedName(
  tx: Tx,
  entry: SiteEntry,
  at: NameAt,
  name: EntryName | null,
): Promise<string | null> {
  if (name === null || typeof name === 'string') {
    const text = 'DELETE FROM name_place WHERE kind = $1 AND row_id = $2 AND field = $3';
    await tx.write(text, [at.kind, at.rowId, at.field], ['name_place']);
    return name;
  }
  await putRow(tx, 'name_place', { siteId: entry.siteId!, ...at, subjectId: name.subjectId });
  return shownName(tx, name, { log: entry.origin, field: at.field });
}

const TAKE_OUT: Readonly<Record<NameKind, string>> = {
  handover: 'UPDATE handover SET by_name = $2 WHERE handover_id = $1',
  movement: 'UPDATE movement SET holder_name = $2 WHERE movement_id = $1',
  media: 'UPDATE media SET author = $2 WHERE media_id = $1',
  rubbing: `UPDATE rubbing SET sheet = jsonb_set(sheet, '{takenBy}', to_jsonb($2::text)) WHERE rubbing_id = $1`,
  intervention: 'UPDATE intervention SET by_text = $2 WHERE intervention_id = $1',
  proposal: 'UPDATE proposal SET sent_to = $2 WHERE issue_id = $1',
  consent: 'UPDATE consent SET by_text = $2 WHERE consent_id = $1',
  withdrawal: 'UPDATE withdrawn_object SET asked_by = $2 WHERE media_id = $1',
};

/** Puts the pseudonym wherever one of these subjects stands: the rows that a rebuild without the keys gives. */
export async function takeOutNames(tx: Tx, subjectIds: readonly string[]): Promise<number> {
  const places = await tx.query<NameAt & { subjectId: string }>(
    `SELECT kind, row_id, field, subject_id FROM name_place WHERE subject_id = ANY($1::uuid[])
     ORDER BY kind, row_id, field`,
    [subjectIds],
  );
  for (const { kind, rowId, subjectId } of places) {
    await tx.run(TAKE_OUT[kind], [rowId, pseudonymOf(subjectId)]);
    if (kind === 'media') await refreshMedia(tx, (await findRow(tx, 'media', { mediaId: rowId }))!);
    if (kind === 'intervention') {
      const interventionId = rowId;
      await refreshIntervention(tx, (await findRow(tx, 'intervention', { interventionId }))!);
    }
  }
  return places.length;
}
