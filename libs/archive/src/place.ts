import { Problem } from '#libs/problem';
import type { Lookup } from './lookup.js';
import type { Tx } from './tx.js';
import { unknown } from './unknown.js';

/** Where something is, with the marks that lead there. */
export interface PanelPlace {
  siteId: string;
  windowId: string;
  panelId: string;
  /** `SLM` or `SLM:CH` */
  siteMark: string;
  windowMark: string;
  panelMark: string;
  /** `SLM.wI.2b` */
  fullMark: string;
  netRevision: number | null;
  signedRevision: number | null;
  retired: boolean;
  version: number;
}

export function siteMarkOf(site: { code: string; unit: string | null }): string {
  return site.unit === null || site.unit === '' ? site.code : `${site.code}:${site.unit}`;
}

const SITE_MARK = `s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END`;

const PANEL_PLACE: Lookup<PanelPlace> = {
  text: `SELECT p.site_id, p.window_id, p.panel_id, ${SITE_MARK} AS site_mark, w.mark AS window_mark,
           p.mark AS panel_mark, ${SITE_MARK} || '.' || w.mark || '.' || p.mark AS full_mark,
           p.net_revision, p.signed_revision, p.retired, p.version
    FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
    WHERE p.panel_id = ANY($1::uuid[])`,
  tables: ['panel', 'window', 'site'],
  steadyIn: 'site',
  keyOf: ({ panelId }) => [panelId],
};

/** @throws {Problem} `panel-unknown` */
export async function panelPlace(tx: Tx, panelId: string): Promise<PanelPlace> {
  const [row] = await tx.ask(PANEL_PLACE, panelId);
  if (row === undefined) throw unknown('panel');
  return row;
}

export interface SitePlace {
  siteId: string;
  siteMark: string;
  scheme: string;
  version: number;
}

const SITE_PLACE: Lookup<SitePlace> = {
  text: `SELECT s.site_id, ${SITE_MARK} AS site_mark, s.scheme, s.version FROM site s
    WHERE s.site_id = ANY($1::uuid[])`,
  tables: ['site'],
  steadyIn: 'site',
  keyOf: ({ siteId }) => [siteId],
};

/** @throws {Problem} `site-unknown` */
export async function sitePlace(tx: Tx, siteId: string): Promise<SitePlace> {
  const [row] = await tx.ask(SITE_PLACE, siteId);
  if (row === undefined) throw unknown('site');
  return row;
}

type Placed =
  | 'window'
  | 'panel'
  | 'piece'
  | 'media'
  | 'rubbing'
  | 'finding'
  | 'intervention'
  | 'condition'
  | 'campaign'
  | 'consent'
  | 'flag'
  | 'survey'
  | 'test'
  | 'deflection'
  | 'assembly'
  | 'joining'
  | 'crate'
  | 'movement'
  | 'dossier'
  | 'site';

const STEADY: ReadonlySet<Placed> = new Set(['site', 'window']);

const siteLookups = new Map<Placed, Lookup<{ id: string; siteId: string }>>();

function siteLookup(kind: Placed): Lookup<{ id: string; siteId: string }> {
  let lookup = siteLookups.get(kind);
  if (lookup === undefined) {
    lookup = {
      text: `SELECT ${kind}_id AS id, site_id FROM "${kind}" WHERE ${kind}_id = ANY($1::uuid[])`,
      tables: [kind],
      ...(STEADY.has(kind) ? { steadyIn: 'site' } : {}),
      keyOf: ({ id }) => [id],
    };
    siteLookups.set(kind, lookup);
  }
  return lookup;
}

/** Site that a thing belongs to. @throws {Problem} `<kind>-unknown` */
export async function siteOf(tx: Tx, kind: Placed, id: string): Promise<string> {
  // what is done to a panel asks for its place as well: one question serves both
  if (kind === 'panel') return (await panelPlace(tx, id)).siteId;
  const [row] = await tx.ask(siteLookup(kind), id);
  if (row === undefined) throw unknown(kind);
  return row.siteId;
}

/** @throws {Problem} `evidence-unknown` naming the first id that is no picture of the site */
export async function checkMedia(
  tx: Tx,
  siteId: string,
  mediaIds: readonly string[],
  field: string,
): Promise<void> {
  if (mediaIds.length === 0) return;
  const rows = await tx.query<{ mediaId: string }>(
    'SELECT media_id FROM media WHERE site_id = $1 AND media_id = ANY($2::uuid[])',
    [siteId, mediaIds],
    ['media'],
  );
  const known = new Set(rows.map((row) => row.mediaId));
  const missing = mediaIds.find((id) => !known.has(id));
  if (missing === undefined) return;
  throw new Problem(
    'evidence-unknown',
    `${field}: ${missing} is no picture or document of this site. Upload it first, then name its mediaId.`,
    { field },
  );
}
