import { Injectable } from '@nestjs/common';
import {
  Archive,
  type ConditionRow,
  type DeflectionRow,
  daysAsRecorded,
  readConditionClass,
  type SurveyedPanel,
  type SurveyRow,
  siteMarkOf,
  standingConditions,
  type WindowRow,
} from '#libs/archive';
import type { BulgeFigures } from '#libs/structure';
import type { PanelStanding, WindowStanding } from '#libs/survey';

interface SitePanel {
  panelId: string;
  windowId: string;
  mark: string;
}

/** How every window of a site stands today, out of what was said and read. */
@Injectable()
export class StandingReader {
  constructor(private readonly archive: Archive) {}

  async ofSite(site: {
    siteId: string;
    code: string;
    unit: string | null;
  }): Promise<WindowStanding[]> {
    const { reads } = this.archive;
    const of = [site.siteId];
    const [windows, panels, conditions, surveys, deflections] = await Promise.all([
      reads.query<WindowRow>('SELECT * FROM "window" WHERE site_id = $1 ORDER BY sort_key', of),
      reads.query<SitePanel>(
        'SELECT panel_id, window_id, mark FROM panel WHERE site_id = $1 AND NOT retired ORDER BY sort_key',
        of,
      ),
      reads.query<ConditionRow>(
        `SELECT * FROM condition WHERE site_id = $1 AND state = 'recorded'`,
        of,
      ),
      reads.query<SurveyRow>(`SELECT * FROM survey WHERE site_id = $1 AND state = 'recorded'`, of),
      reads.query<DeflectionRow>(
        `SELECT * FROM deflection WHERE site_id = $1 AND state = 'recorded'`,
        of,
      ),
    ]);
    const standing = new Map(standingConditions(conditions).map((row) => [row.panelId, row]));
    const bulges = new Map(standingConditions(deflections).map((row) => [row.panelId, row]));
    const extents = extentsOf(surveys);
    return windows.map((window) => ({
      windowId: window.windowId,
      mark: `${siteMarkOf(site)}.${window.mark}`,
      sortKey: window.sortKey,
      title: window.title,
      panels: panels
        .filter(({ windowId }) => windowId === window.windowId)
        .map(({ panelId, mark }): PanelStanding => {
          const said = standing.get(panelId);
          const bulge = bulges.get(panelId)?.figures as BulgeFigures | undefined;
          return {
            mark,
            conditionClass: said === undefined ? null : readConditionClass(said.conditionClass),
            urgency: said?.urgency ?? null,
            extentRatio: said === undefined ? null : (extents.get(said.conditionId) ?? null),
            bulgeMm: bulge === undefined ? null : Math.abs(bulge.maximumMm.value),
          };
        }),
      ...visitsOf(surveys.filter(({ windowId }) => windowId === window.windowId)),
    }));
  }
}

function extentsOf(surveys: readonly SurveyRow[]): Map<string, number | null> {
  return new Map(
    surveys.flatMap(({ panels }) =>
      (panels as readonly SurveyedPanel[]).map(
        ({ conditionId, extentRatio }) => [conditionId, extentRatio] as const,
      ),
    ),
  );
}

/** The latest visit, and when it said to come back. */
function visitsOf(surveys: readonly SurveyRow[]) {
  const dayOf = ({ happened, recordedAt }: SurveyRow) =>
    daysAsRecorded(happened, recordedAt).last ?? '';
  const [last] = [...surveys].sort((a, b) =>
    dayOf(a) === dayOf(b) ? Number(b.entrySeq) - Number(a.entrySeq) : dayOf(a) < dayOf(b) ? 1 : -1,
  );
  return { lastSurvey: last?.happened ?? null, nextInspection: last?.nextInspection ?? null };
}
