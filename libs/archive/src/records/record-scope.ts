/** What a record is about, and the rows that belong to it. */
import { kindOf, parseMark, type Scheme } from '#libs/marks';
import type { RecordSubject } from '#libs/records';
import type {
  AliasRow,
  ConditionRow,
  FindingRow,
  InterventionRow,
  MediaRow,
  PanelRow,
  SiteRow,
  WindowRow,
} from '../rows.js';
import { standingConditions } from '../standing-conditions.js';
import { subjectsAt } from '../subjects.js';
import type { Tx } from '../tx.js';

export interface MarkedPanel extends PanelRow {
  /** `SLM.wI.2b` */
  fullMark: string;
}

export interface MarkedFinding extends FindingRow {
  /** `SLM.wI.2b` */
  panelMark: string;
  authorName: string | null;
}

export interface RecordScope {
  readonly subject: RecordSubject;
  readonly site: SiteRow;
  readonly window: WindowRow | undefined;
  /** panels in it, or the one that it is in */
  readonly panels: readonly MarkedPanel[];
  readonly findings: readonly MarkedFinding[];
  readonly interventions: readonly InterventionRow[];
  /** the class that stands of each panel that has one */
  readonly conditions: readonly ConditionRow[];
  readonly media: readonly MediaRow[];
}

const SITE_MARK = `s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END`;
const PANEL_MARK = `${SITE_MARK} || '.' || w.mark || '.' || p.mark`;
const PANEL_FROM = `panel p JOIN "window" w ON w.window_id = p.window_id JOIN site s ON s.site_id = p.site_id`;

/** @param mark in full and canonical */
export async function recordScope(tx: Tx, siteId: string, mark: string): Promise<RecordScope> {
  const site = (await tx.first<SiteRow>('SELECT * FROM site WHERE site_id = $1', [siteId]))!;
  const windowMark = mark.split('.')[1];
  const window = await tx.first<WindowRow>(
    'SELECT * FROM "window" WHERE site_id = $1 AND mark = $2',
    [siteId, windowMark ?? ''],
  );
  const panels = await tx.query<MarkedPanel>(
    `SELECT * FROM (SELECT p.*, ${PANEL_MARK} AS full_mark, w.sort_key AS window_key FROM ${PANEL_FROM}
       WHERE p.site_id = $1 AND NOT p.retired) marked
     WHERE full_mark = $2 OR starts_with(full_mark, $2 || '.') OR starts_with($2, full_mark || '.')
     ORDER BY window_key, sort_key`,
    [siteId, mark],
  );
  const findings = await tx.query<MarkedFinding>(
    `SELECT * FROM (
       SELECT f.*, ${PANEL_MARK} AS panel_mark, a.display_name AS author_name,
              w.sort_key AS window_key, p.sort_key AS panel_key
       FROM finding f JOIN ${PANEL_FROM} ON p.panel_id = f.panel_id
       LEFT JOIN person a ON a.person_id = f.author_id
       WHERE f.site_id = $1 AND f.state = 'recorded') marked
     WHERE panel_mark || coalesce('.' || in_panel, '') = $2
        OR starts_with(panel_mark || coalesce('.' || in_panel, ''), $2 || '.')
     ORDER BY window_key, panel_key, recorded_at, finding_id`,
    [siteId, mark],
  );
  const interventions = await tx.query<InterventionRow>(
    `SELECT * FROM intervention WHERE site_id = $1 AND state = 'recorded' AND ${subjectsAt('$2')}
     ORDER BY entry_seq`,
    [siteId, mark],
  );
  const conditions = standingConditions(
    await tx.query<ConditionRow>(
      `SELECT * FROM condition WHERE panel_id = ANY($1::uuid[]) AND state = 'recorded'`,
      [panels.map(({ panelId }) => panelId)],
    ),
  );
  const media = await tx.query<MediaRow>(
    `SELECT * FROM media WHERE site_id = $1 AND ${subjectsAt('$2')} ORDER BY entry_seq`,
    [siteId, mark],
  );
  const subject = await subjectOf(tx, site, window, panels, mark);
  return { subject, site, window, panels, findings, interventions, conditions, media };
}

async function subjectOf(
  tx: Tx,
  site: SiteRow,
  window: WindowRow | undefined,
  panels: readonly MarkedPanel[],
  mark: string,
): Promise<RecordSubject> {
  const innermost = kindOf(parseMark(mark, site.scheme as Scheme));
  const kind =
    innermost === 'site' || innermost === 'unit'
      ? 'site'
      : innermost === 'panel' || innermost === 'tracery'
        ? 'panel'
        : innermost === 'window' || innermost === 'light'
          ? 'window'
          : 'piece';
  const aliases = await tx.query<AliasRow>(
    'SELECT * FROM alias WHERE site_id = $1 AND mark = $2 ORDER BY alias_id',
    [site.siteId, mark],
  );
  const shows =
    kind === 'panel'
      ? panels[0]?.shows
      : kind === 'piece'
        ? await pieceShows(tx, panels[0]?.panelId, mark)
        : undefined;
  return {
    mark,
    scheme: site.scheme,
    kind,
    siteName: site.name,
    title: shows ?? (kind === 'site' ? null : (window?.title ?? null)),
    aliases: aliases.map(({ scheme, text, source }) => ({ scheme, text, source })),
  };
}

async function pieceShows(
  tx: Tx,
  panelId: string | undefined,
  mark: string,
): Promise<string | null> {
  const row = await tx.first<{ shows: string | null }>(
    'SELECT shows FROM piece WHERE panel_id = $1 AND mark = $2 ORDER BY provisional LIMIT 1',
    [panelId ?? null, mark.split('.')[3] ?? ''],
  );
  return row?.shows ?? null;
}
