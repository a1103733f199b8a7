import { Inject, Injectable } from '@nestjs/common';
import { z } from 'zod';
import { daysAsRecorded, siteMarkOf, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { operation } from '#libs/vocabulary';
import { POOL } from '../../platform/tokens.js';
import { conditionsThen } from './conditions-then.js';
import { findingsThen } from './findings-then.js';
import { picturesThen } from './media-then.js';
import type { KnownThen, Moment } from './moment.js';
import { interventionsThen, isExamination, panelWork, type StateChange } from './work-then.js';

export const HAPPENING_KINDS = [
  'survey',
  'work',
  'moved',
  'finding',
  'photograph',
  'rubbing',
  'drawing',
] as const;
type Kind = (typeof HAPPENING_KINDS)[number];

export const happeningAnswer = z.object({
  kind: z.enum(HAPPENING_KINDS),
  label: z.string().describe('what it was, in words'),
  happened: z.string().nullable().describe('EDTF as claimed; null: dated by its entry'),
  first: z.string().nullable().describe('first day that it may have happened on; null: open'),
  last: z.string().nullable().describe('last such day; never after it was recorded'),
  count: z.int().describe('how many alike on this date'),
  marks: z.array(z.string()).describe('what it was about, at most 12'),
});
type Happening = z.infer<typeof happeningAnswer>;

interface Told {
  readonly kind: Kind;
  readonly label: string;
  readonly happened: string | null;
  readonly recordedAt: Date;
  readonly count?: number;
  readonly marks: readonly string[];
}

interface SiteRow {
  readonly siteId: string;
  readonly code: string;
  readonly unit: string | null;
}

const MARKS_MAX = 12;
const MOVED: Readonly<Record<StateChange['workState'], string>> = {
  'in-place': 'back in place',
  out: 'taken out',
  'on-bench': 'on the bench',
  rebuilt: 'rebuilt',
};

/** What happened at a site or one of its windows, by its own dates, in the order of the last days. */
@Injectable()
export class HappeningsReader {
  readonly #tx: Tx;

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  async ofSite(
    site: SiteRow,
    windowMark: string | undefined,
    known: KnownThen | null,
  ): Promise<Happening[]> {
    const { siteId } = site;
    const siteMark = siteMarkOf(site);
    const windows = await this.#tx.query<{ windowId: string; mark: string }>(
      `SELECT window_id, mark FROM "window"
       WHERE site_id = $1 AND ($2::text IS NULL OR mark = $2) ORDER BY sort_key`,
      [siteId, windowMark ?? null],
    );
    const moment = { until: null, known };
    const told = await Promise.all(
      windows.map(({ windowId, mark }) =>
        this.#ofWindow({ siteId, windowId, fullMark: `${siteMark}.${mark}` }, moment),
      ),
    );
    const pictures = (await picturesThen(this.#tx, siteId, known)).map(
      ({ kind, subjects, ...dated }): Told => ({
        kind: 'photograph',
        label: kind,
        marks: subjects,
        ...dated,
      }),
    );
    const within = windowMark === undefined ? siteMark : `${siteMark}.${windowMark}`;
    const here = pictures.filter(({ marks }) =>
      marks.some((mark) => mark === within || mark.startsWith(`${within}.`)),
    );
    // Work on several windows comes with each of them.
    return gathered([...told.flat(), ...here]);
  }

  async #ofWindow(
    { siteId, windowId, fullMark }: { siteId: string; windowId: string; fullMark: string },
    moment: Moment,
  ): Promise<Told[]> {
    const panels = await this.#tx.query<{ panelId: string; mark: string }>(
      `SELECT panel_id, $2 || '.' || mark AS mark FROM panel WHERE window_id = $1 ORDER BY sort_key`,
      [windowId, fullMark],
    );
    const markOf = new Map(panels.map(({ panelId, mark }) => [panelId, mark]));
    const [work, findings, done, surveyed] = await Promise.all([
      panelWork(
        this.#tx,
        siteId,
        panels.map(({ mark }) => mark),
        moment,
      ),
      findingsThen(this.#tx, siteId, windowId, moment),
      interventionsThen(this.#tx, siteId, fullMark, moment),
      conditionsThen(this.#tx, siteId, windowId, moment.known),
    ]);
    return [
      ...surveyed.map(
        ({ panelId, happened, recordedAt }): Told => ({
          kind: 'survey',
          label: 'condition',
          happened,
          recordedAt,
          marks: [markOf.get(panelId)!],
        }),
      ),
      ...done.map(
        (one): Told => ({
          kind: isExamination(one.operation) ? 'survey' : 'work',
          label: operation(one.operation)?.label ?? one.operation,
          happened: one.happened,
          recordedAt: one.recordedAt,
          marks: one.subjects,
        }),
      ),
      ...work.states.map(
        ({ workState, mark, ...dated }): Told => ({
          kind: 'moved',
          label: MOVED[workState],
          marks: [mark],
          ...dated,
        }),
      ),
      ...findings.map(
        ({ panelId, term: _, inPanel: __, ...dated }): Told => ({
          kind: 'finding',
          label: 'findings',
          marks: [markOf.get(panelId)!],
          ...dated,
        }),
      ),
      ...work.rubbings.map(
        ({ isTaken, mark, ...dated }): Told => ({
          kind: 'rubbing',
          label: isTaken ? 'rubbed' : 'not rubbed, for a reason',
          marks: [mark],
          ...dated,
        }),
      ),
      ...work.drawings.map(
        ({ what, mark, recordedAt }): Told => ({
          kind: 'drawing',
          label: what === 'drawn' ? 'lead drawing made' : 'lead drawing signed',
          happened: null,
          recordedAt,
          marks: [mark],
        }),
      ),
    ];
  }
}

/** Those of one kind, label and date as one, with what they were about. */
function gathered(told: readonly Told[]): Happening[] {
  const groups = new Map<string, { one: Told; count: number; marks: Set<string> }>();
  for (const one of told) {
    const day = one.happened ?? one.recordedAt.toISOString().slice(0, 10);
    const key = `${one.kind} ${one.label} ${day}`;
    const group = groups.get(key) ?? { one, count: 0, marks: new Set<string>() };
    // An intervention is one however many windows it touched.
    const isNew = one.kind !== 'work' || !one.marks.every((mark) => group.marks.has(mark));
    if (isNew) group.count += one.count ?? 1;
    for (const mark of one.marks) group.marks.add(mark);
    groups.set(key, group);
  }
  return [...groups.values()]
    .map(({ one, count, marks }) => ({
      kind: one.kind,
      label: one.label,
      happened: one.happened,
      ...daysAsRecorded(one.happened, one.recordedAt),
      count,
      marks: [...marks].slice(0, MARKS_MAX),
    }))
    .sort((a, b) => {
      const [x, y] = [a.last ?? '', b.last ?? ''];
      return x === y ? (a.kind < b.kind ? -1 : 1) : x < y ? -1 : 1;
    });
}
