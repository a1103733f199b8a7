/** Where somebody is named, before a keeper decides about it; and where erasing does not reach. */
import type { Tx } from '../tx.js';
import { nameKey, subjectsNamed } from './subject-keys.js';

export interface NameTraces {
  /** fields that hold the name sealed: erasing reaches them */
  readonly fields: readonly {
    siteId: string;
    kind: string;
    field: string;
    rowId: string;
    /** mark */
    subject: string | null;
  }[];
  /** free text that holds the name: it stays, since the ledger keeps it as it was written */
  readonly texts: readonly { siteId: string; kind: string; rowId: string; subject: string }[];
  /** dossiers written of places where the name stands; copies may be in other hands */
  readonly dossiers: number;
}

/** @param names every way in which the person is written */
export async function nameTraces(
  tx: Tx,
  personId: string | null,
  names: readonly string[],
): Promise<NameTraces> {
  const named = await subjectsNamed(tx, names);
  const subjectIds = personId === null ? named : [...new Set([personId, ...named])];
  const fields = await tx.query<NameTraces['fields'][number]>(
    `SELECT n.site_id, n.kind, n.field, n.row_id,
            coalesce(m.subjects[1], i.subjects[1], s.code || coalesce(':' || s.unit, '') || '.' || w.mark || '.' || p.mark,
                     s.code || coalesce(':' || s.unit, '')) AS subject
     FROM name_place n JOIN site s ON s.site_id = n.site_id
     LEFT JOIN media m ON n.kind IN ('media', 'withdrawal') AND m.media_id = n.row_id
     LEFT JOIN intervention i ON n.kind = 'intervention' AND i.intervention_id = n.row_id
     LEFT JOIN rubbing r ON n.kind = 'rubbing' AND r.rubbing_id = n.row_id
     LEFT JOIN panel p ON p.panel_id = r.panel_id
     LEFT JOIN "window" w ON w.window_id = p.window_id
     WHERE n.subject_id = ANY($1::uuid[]) ORDER BY n.site_id, n.kind, n.row_id, n.field`,
    [subjectIds],
  );
  const reached = fields.map((place) => place.rowId);
  const texts = await tx.query<NameTraces['texts'][number]>(
    `SELECT site_id, kind, row_id, subject FROM search_row
     WHERE EXISTS (SELECT 1 FROM unnest($1::text[]) name WHERE position(name in lower(title || ' ' || text)) > 0)
       AND NOT (row_id = ANY($2::text[]))
     ORDER BY site_id, kind, row_id LIMIT 500`,
    [names.map(nameKey), reached],
  );
  const siteIds = [...new Set(fields.map((place) => place.siteId))];
  const written = await tx.first<{ dossiers: number }>(
    'SELECT count(*) AS dossiers FROM dossier WHERE site_id = ANY($1::uuid[]) AND made_at IS NOT NULL',
    [siteIds],
  );
  return { fields, texts, dossiers: written!.dossiers };
}
