import { operation } from '#libs/vocabulary';
import type { ProjectedEntry } from './command.js';
import { firstDay } from './happened.js';
import type { InterventionRow, MediaRow } from './rows.js';
import { putRow } from './tables.js';
import type { Tx } from './tx.js';

/** What the search box finds. `title` weighs most; `text` is everything else worth finding. */
export interface Findable {
  readonly kind: 'finding' | 'intervention' | 'media' | 'panel' | 'window' | 'piece' | 'alias';
  readonly rowId: string;
  /** full mark */
  readonly subject: string;
  readonly windowMark: string | null;
  readonly stage?: string | null;
  readonly title: string;
  readonly text: readonly (string | null | undefined)[];
}

export function makeFindable(tx: Tx, entry: ProjectedEntry, row: Findable): Promise<void> {
  return putRow(tx, 'search_row', {
    siteId: entry.siteId!,
    rowId: row.rowId,
    kind: row.kind,
    subject: row.subject,
    windowMark: row.windowMark,
    stage: row.stage ?? null,
    happened: entry.happened,
    happenedFrom: firstDay(entry.happened),
    title: row.title,
    text: findableText(row.text),
    recordedAt: entry.recordedAt,
  });
}

export async function forgetFindable(
  tx: Tx,
  siteId: string,
  kind: Findable['kind'],
  rowId: string,
): Promise<void> {
  await tx.run(
    'DELETE FROM search_row WHERE site_id = $1 AND kind = $2 AND row_id = $3',
    [siteId, kind, rowId],
    ['search_row'],
  );
}

export function findableText(words: Findable['text']): string {
  return words.filter((part) => typeof part === 'string' && part !== '').join(' · ');
}

export function mediaWords({
  kind,
  author,
  note,
  subjects,
}: Pick<MediaRow, 'kind' | 'author' | 'note' | 'subjects'>): Findable['text'] {
  return [kind, author, note, ...subjects];
}

export function interventionWords(
  row: Pick<
    InterventionRow,
    'operation' | 'material' | 'detail' | 'byRole' | 'byText' | 'note' | 'evidence' | 'subjects'
  >,
): Findable['text'] {
  // members come in another order from the request than from the entry or the row
  const details = Object.entries((row.detail ?? {}) as Record<string, string | number>).sort(
    ([a], [b]) => (a < b ? -1 : 1),
  );
  return [
    operation(row.operation)?.label,
    row.material,
    ...details.map(([, value]) => String(value)),
    row.byRole,
    row.byText,
    row.note,
    row.evidence,
    row.subjects.join(' '),
  ];
}
