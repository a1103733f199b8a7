import { formatMark } from '#libs/marks';
import { Problem } from '#libs/problem';
import { checkedMarkIn } from './marks.js';
import { sitePlace } from './place.js';
import type { Tx } from './tx.js';

/** The number that a piece's mark is built on: 17 of 17a, 17r2, 17s3, 17p1. */
const PIECE = /^(\d+)([a-z]|[rsp]\d+)*$/;
const LEAD_OR_JOINT = /^[LJ]\d+$/;
const AT_WINDOW = /^(bar|tie|stone)-\d+$/;

/**
 * Full marks of things of one site, each checked to be there. Marks may be given in full
 * (`SLM.wI.2b`) or from the window on (`wI.2b`); the order is kept, doubles are dropped.
 *
 * @throws {Problem} `mark-invalid`, `subject-unknown` naming the first that does not fit
 */
export async function checkedSubjects(
  tx: Tx,
  siteId: string,
  subjects: readonly string[],
  field = 'subjects',
): Promise<string[]> {
  const { siteMark, scheme } = await sitePlace(tx, siteId);
  const found = new Set<string>();
  for (const [i, subject] of subjects.entries()) {
    const at = `${field}[${i}]`;
    const full = formatMark(checkedMarkIn(siteMark, scheme, subject.trim(), at));
    const parts = full === siteMark ? [] : full.slice(siteMark.length + 1).split('.');
    if (!(await isThere(tx, siteId, parts))) {
      throw new Problem(
        'subject-unknown',
        `${at}: nothing at ${siteMark} bears the mark ${subject}. Draw its window first, or correct the mark.`,
        { field: at, mark: subject },
      );
    }
    found.add(full);
  }
  return [...found];
}

async function isThere(tx: Tx, siteId: string, parts: readonly string[]): Promise<boolean> {
  const [window, second, third, ...more] = parts;
  if (window === undefined) return true;
  if (more.length > 0) return false;
  const atWindow = await tx.first<{ windowId: string }>(
    'SELECT window_id FROM "window" WHERE site_id = $1 AND mark = $2',
    [siteId, window],
  );
  if (atWindow === undefined) return false;
  if (second === undefined || (third === undefined && AT_WINDOW.test(second))) return true;
  const panel = await tx.first<{ panelId: string; netRevision: number | null }>(
    'SELECT panel_id, net_revision FROM panel WHERE window_id = $1 AND mark = $2 AND NOT retired',
    [atWindow.windowId, second],
  );
  if (panel === undefined || third === undefined) return panel !== undefined;
  if (LEAD_OR_JOINT.test(third)) return panel.netRevision !== null;
  const base = PIECE.exec(third)?.[1];
  const piece = await tx.first(
    'SELECT 1 FROM piece WHERE panel_id = $1 AND (mark = $2 OR mark = $3) AND NOT retired',
    [panel.panelId, third, base ?? third],
  );
  return piece !== undefined;
}

/**
 * SQL: whether one of the subjects is the thing with this full mark, or lies in it.
 * @param mark SQL of the mark, `$2`
 * @param subjects SQL of the marks in full, as array
 */
export const subjectsAt = (mark: string, subjects = 'subjects'): string =>
  `EXISTS (SELECT 1 FROM unnest(${subjects}) s WHERE s = ${mark} OR starts_with(s, ${mark} || '.'))`;
