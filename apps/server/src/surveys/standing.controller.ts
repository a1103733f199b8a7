import { Controller } from '@nestjs/common';
import {
  Archive,
  daysAsRecorded,
  firstDay,
  type SurveyedPanel,
  type SurveyRow,
  unknown,
} from '#libs/archive';
import {
  inspectionsIcal,
  rankingCsv,
  rankWindows,
  type SaidPanel,
  surveyChange,
} from '#libs/survey';
import type { Actor } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { ProposalsReader } from './proposals.reader.js';
import { StandingReader } from './standing.reader.js';
import * as routes from './standing.routes.js';

interface Due {
  surveyId: string;
  windowId: string;
  mark: string;
  title: string;
  lastSurvey: string;
  nextInspection: string;
  day: string | null;
  recordedAt: Date;
}

@Controller()
export class StandingController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
    private readonly standing: StandingReader,
    private readonly proposed: ProposalsReader,
  ) {}

  @Route(routes.proposals)
  async proposals(@Asked() { actor, params }: AskedFor<typeof routes.proposals>) {
    const { windowId } = await this.readable.window(actor, params.windowId);
    return { items: await this.proposed.ofWindow(windowId), next: null };
  }

  @Route(routes.ranking)
  async ranking(@Asked() { actor, params }: AskedFor<typeof routes.ranking>) {
    const site = await this.readable.site(actor, params.siteId);
    return rankWindows(await this.standing.ofSite(site));
  }

  @Route(routes.rankingFile)
  async rankingFile(@Asked() { actor, params, reply }: AskedFor<typeof routes.rankingFile>) {
    const site = await this.readable.site(actor, params.siteId);
    void reply
      .type('text/csv; charset=utf-8')
      .header(
        'Content-Disposition',
        `attachment; filename="${site.code.toLowerCase()}-windows.csv"`,
      );
    return rankingCsv(rankWindows(await this.standing.ofSite(site)));
  }

  @Route(routes.inspections)
  async inspections(@Asked() { actor, params }: AskedFor<typeof routes.inspections>) {
    const site = await this.readable.site(actor, params.siteId);
    const today = new Date().toISOString().slice(0, 10);
    const items = (await this.#due(site.siteId)).map(({ recordedAt: _, ...due }) => ({
      ...due,
      isDue: due.day !== null && due.day <= today,
    }));
    return { items, next: null };
  }

  @Route(routes.inspectionsCalendar)
  async inspectionsCalendar(
    @Asked() { actor, params, reply }: AskedFor<typeof routes.inspectionsCalendar>,
  ) {
    const site = await this.readable.site(actor, params.siteId);
    const due = await this.#due(site.siteId);
    void reply
      .type('text/calendar; charset=utf-8')
      .header(
        'Content-Disposition',
        `attachment; filename="${site.code.toLowerCase()}-inspections.ics"`,
      );
    return inspectionsIcal(
      due.flatMap(({ day, nextInspection, ...one }) =>
        day === null ? [] : [{ ...one, day, said: nextInspection }],
      ),
      this.archive.archiveId,
    );
  }

  @Route(routes.surveyChanges)
  async surveyChanges(@Asked() { actor, params, query }: AskedFor<typeof routes.surveyChanges>) {
    const row = await this.#survey(actor, params.surveyId);
    const before =
      query.since === undefined ? await this.#before(row) : await this.#survey(actor, query.since);
    if (before !== undefined && before.windowId !== row.windowId) throw unknown('survey');
    return {
      since: before === undefined ? null : { surveyId: before.surveyId, happened: before.happened },
      panels: surveyChange(before === undefined ? [] : saidIn(before), saidIn(row)),
    };
  }

  async #survey(actor: Actor, surveyId: string): Promise<SurveyRow> {
    const row = await this.archive.reads.first<SurveyRow>(
      'SELECT * FROM survey WHERE survey_id = $1',
      [surveyId],
    );
    if (row === undefined) throw unknown('survey');
    await this.readable.window(actor, row.windowId);
    return row;
  }

  /** Of the surveys that stand, the one of the latest day before; of one day the one recorded before. */
  async #before(row: SurveyRow): Promise<SurveyRow | undefined> {
    const rows = await this.archive.reads.query<SurveyRow>(
      `SELECT * FROM survey WHERE window_id = $1 AND state = 'recorded' AND survey_id <> $2
       ORDER BY entry_seq DESC`,
      [row.windowId, row.surveyId],
    );
    const dayOf = ({ happened, recordedAt }: SurveyRow) =>
      daysAsRecorded(happened, recordedAt).last ?? '';
    const isEarlier = (one: SurveyRow) =>
      dayOf(one) < dayOf(row) ||
      (dayOf(one) === dayOf(row) && Number(one.entrySeq) < Number(row.entrySeq));
    return rows.filter(isEarlier).sort((a, b) => (dayOf(a) < dayOf(b) ? 1 : -1))[0];
  }

  /** The next look of each window, as its latest survey says. */
  async #due(siteId: string): Promise<Due[]> {
    const rows = await this.archive.reads.query<
      SurveyRow & { mark: string; title: string; sortKey: string }
    >(
      `SELECT v.*, s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
              || '.' || w.mark AS mark, w.title, w.sort_key
       FROM survey v JOIN "window" w USING (window_id) JOIN site s ON s.site_id = v.site_id
       WHERE v.site_id = $1 AND v.state = 'recorded' ORDER BY w.sort_key`,
      [siteId],
    );
    const dayOf = ({ happened, recordedAt }: SurveyRow) =>
      daysAsRecorded(happened, recordedAt).last ?? '';
    const latest = new Map<string, (typeof rows)[number]>();
    for (const row of rows) {
      const other = latest.get(row.windowId);
      if (
        other === undefined ||
        dayOf(row) > dayOf(other) ||
        (dayOf(row) === dayOf(other) && Number(row.entrySeq) > Number(other.entrySeq))
      ) {
        latest.set(row.windowId, row);
      }
    }
    return [...latest.values()]
      .flatMap(({ nextInspection, happened, ...row }) =>
        nextInspection === null
          ? []
          : [
              {
                surveyId: row.surveyId,
                windowId: row.windowId,
                mark: row.mark,
                title: row.title,
                lastSurvey: happened,
                nextInspection,
                day: firstDay(nextInspection),
                recordedAt: row.recordedAt,
              },
            ],
      )
      .sort((a, b) => ((a.day ?? '9') < (b.day ?? '9') ? -1 : 1));
  }
}

function saidIn({ panels }: SurveyRow): SaidPanel[] {
  return panels as SurveyedPanel[];
}
