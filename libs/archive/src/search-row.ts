import { operation } from '#libs/vocabulary';
import type { ProjectedEntry } from './command.js';
import { type DateSpan, spanAsRecorded } from './date-span.js';
import { firstDay } from './happened.js';
import type { InterventionRow, MediaRow } from './rows.js';
import { type Facts, searchKeys } from './search-keys.js';
import { putRow } from './tables.js';
import type { Tx } from './tx.js';

/** What the search box finds. `title` weighs most; `text` is everything else worth finding. */
export interface Findable {
  readonly kind:
    | 'finding'
    | 'intervention'
    | 'media'
    | 'panel'
    | 'window'
    | 'piece'
    | 'alias'
    | 'joining';
  readonly rowId: string;
  /** full mark */
  readonly subject: string;
  readonly windowMark: string | null;
  readonly stage?: string | null;
  readonly title: string;
  readonly text: readonly (string | null | undefined)[];
  /** what it is filtered and counted by; left out where there is no more than mark, kind and date */
  readonly facts?: Partial<Facts>;
}

/** Kinds that happened on a day even where nobody said which: the day of their entry counts. */
const DATED_BY_ENTRY: ReadonlySet<string> = new Set(['finding', 'intervention', 'joining']);

export function makeFindable(
  tx: Tx,
  entry: Pick<ProjectedEntry, 'siteId' | 'happened' | 'recordedAt'>,
  row: Findable,
): Promise<void> {
  const { siteId, happened, recordedAt } = entry;
  return putRow(tx, 'search_row', {
    siteId: siteId!,
    rowId: row.rowId,
    kind: row.kind,
    subject: row.subject,
    windowMark: row.windowMark,
    stage: row.stage ?? null,
    happened,
    happenedFrom: firstDay(happened),
    ...filteredBy({ ...row, happened, recordedAt }),
    title: row.title,
    text: findableText(row.text),
    recordedAt,
  });
}

/** The columns that filters and counts use. */
export function filteredBy({
  kind,
  subject,
  stage,
  facts,
  happened,
  recordedAt,
}: Pick<Findable, 'kind' | 'subject' | 'stage' | 'facts'> & {
  readonly happened: string | null;
  readonly recordedAt: Date;
}) {
  const span: DateSpan | null =
    happened === null && !DATED_BY_ENTRY.has(kind) ? null : spanAsRecorded(happened, recordedAt);
  return {
    earliest: span?.first ?? null,
    latest: span?.last ?? null,
    happenedSure: span?.isSure ?? true,
    keys: searchKeys(kind, { marks: [subject], stage: stage ?? null, ...facts }, span),
  };
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
