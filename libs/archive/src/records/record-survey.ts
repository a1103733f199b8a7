/** What the latest visit, the tests and the readings of bulges add to a condition record. */

import type { z } from 'zod';
import type { ConditionRecord, RecordPerson } from '#libs/records';
import { type ClassNumber, CONDITION_WORDS } from '#libs/vocabulary';
import { daysAsRecorded } from '../happened.js';
import type { DeflectionRow, SurveyRow } from '../rows.js';
import { standingConditions } from '../standing-conditions.js';
import type { Tx } from '../tx.js';
import type { deflectionAnswer } from '../views/deflection-view.js';
import type { SurveyedPanel, SurveySaid } from '../views/survey-view.js';
import type { RecordScope } from './record-scope.js';
import { testsAt, toldTest } from './record-tests.js';

type SurveyedPart = Pick<
  ConditionRecord,
  | 'purpose'
  | 'scope'
  | 'notReached'
  | 'method'
  | 'environment'
  | 'elements'
  | 'suspectedCauses'
  | 'extent'
  | 'risk'
  | 'urgency'
  | 'recommendation'
  | 'furtherDiagnosis'
  | 'tests'
  | 'bulges'
  | 'safety'
  | 'nextInspection'
  | 'place'
>;

export interface RecordSurvey {
  readonly part: Partial<SurveyedPart>;
  readonly observer: RecordPerson | null;
  readonly happened: string | null;
}

export async function recordSurvey(
  tx: Tx,
  siteId: string,
  { subject, window, panels }: RecordScope,
): Promise<RecordSurvey> {
  const tests = (await testsAt(tx, siteId, subject.mark)).map(toldTest);
  const bulges = await bulgesOf(tx, panels);
  const found = { tests, bulges };
  if (window === undefined || subject.kind === 'site' || subject.kind === 'piece') {
    return { part: found, observer: null, happened: null };
  }
  const survey = await latestSurvey(
    tx,
    window.windowId,
    panels.map(({ panelId }) => panelId),
  );
  if (survey === undefined) return { part: found, observer: null, happened: null };
  const said = survey.said as SurveySaid;
  const here = new Set(panels.map(({ panelId }) => panelId));
  const of = (survey.panels as readonly SurveyedPanel[]).filter(({ panelId }) => here.has(panelId));
  const observer = await tx.first<{ displayName: string }>(
    'SELECT display_name FROM person WHERE person_id = $1',
    [survey.observerId],
  );
  return {
    part: {
      ...found,
      purpose: said.purpose,
      scope: said.scope,
      notReached: notReached(said, of),
      method: lines([
        [null, said.method],
        ['light', said.light],
        ['weather', said.weather],
        ['access', said.access],
      ]),
      environment: lines([
        ['protective glazing', said.environment.protectiveGlazing],
        ['ventilation', said.environment.ventilation],
        ['heating', said.environment.heating],
        ['condensation', said.environment.condensation],
      ]),
      elements: said.elements.map(
        ({ element, conditionClass, urgency, recommendation, reason }) => ({
          element,
          conditionClass,
          urgency,
          recommendation,
          reason,
        }),
      ),
      suspectedCauses: causesOf(said, of),
      extent: extentOf(of),
      risk: lines([
        [null, said.risk],
        ...of.map(({ mark, risk }) => [named(of, mark), risk] as const),
      ]),
      urgency: worstOf(of, 'urgency'),
      recommendation: recommendationOf(of),
      furtherDiagnosis: lines([
        [null, said.furtherDiagnosis],
        ...of.map(({ mark, furtherDiagnosis }) => [named(of, mark), furtherDiagnosis] as const),
      ]),
      safety: said.safety,
      nextInspection: survey.nextInspection,
      place: said.place,
    },
    observer:
      observer === undefined ? null : { name: observer.displayName, role: said.observerRole },
    happened: survey.happened,
  };
}

/** Of the visits that stand and saw one of these panels, or none in particular, that of the latest day. */
async function latestSurvey(
  tx: Tx,
  windowId: string,
  panelIds: readonly string[],
): Promise<SurveyRow | undefined> {
  const rows = await tx.query<SurveyRow>(
    `SELECT * FROM survey WHERE window_id = $1 AND state = 'recorded' ORDER BY entry_seq DESC`,
    [windowId],
  );
  const dayOf = ({ happened, recordedAt }: SurveyRow) =>
    daysAsRecorded(happened, recordedAt).last ?? '';
  return rows
    .filter(({ panels }) => {
      const seen = panels as readonly SurveyedPanel[];
      return seen.length === 0 || seen.some(({ panelId }) => panelIds.includes(panelId));
    })
    .sort((a, b) => (dayOf(a) < dayOf(b) ? 1 : dayOf(a) > dayOf(b) ? -1 : 0))[0];
}

/** '2b: ' where a record is of several panels. */
function named(panels: readonly SurveyedPanel[], mark: string): string | null {
  return panels.length > 1 ? mark : null;
}

function lines(parts: readonly (readonly [string | null, string | null])[]): string | null {
  const told = parts.flatMap(([label, text]) =>
    text === null ? [] : [label === null ? text : `${label}: ${text}`],
  );
  return told.length === 0 ? null : told.join('\n');
}

function notReached(said: SurveySaid, panels: readonly SurveyedPanel[]): string | null {
  return lines([
    [null, said.notReached],
    ...panels
      .filter(({ conditionClass }) => typeof conditionClass !== 'number')
      .map(
        ({ mark, conditionClass, reasons }) =>
          [
            mark,
            `${CONDITION_WORDS[conditionClass].label}, ${reasons.map(({ text }) => text).join('; ')}`,
          ] as const,
      ),
  ]);
}

function causesOf(
  said: SurveySaid,
  panels: readonly SurveyedPanel[],
): ConditionRecord['suspectedCauses'] {
  const all = [
    ...said.causes,
    ...panels.flatMap(({ mark, causes }) =>
      causes.map(({ text, confidence }) => ({
        text: named(panels, mark) === null ? text : `${mark}: ${text}`,
        confidence,
      })),
    ),
  ];
  return all.length === 0 ? null : all;
}

function extentOf(panels: readonly SurveyedPanel[]): string | null {
  return lines(
    panels.map(({ mark, extentRatio }) => [
      named(panels, mark),
      extentRatio === null ? null : `${Math.round(extentRatio * 100)} % of the pieces`,
    ]),
  );
}

/** The worst said, with the reasons where it was said. */
function worstOf(panels: readonly SurveyedPanel[], what: 'urgency' | 'recommendation') {
  const said = panels.filter((panel) => panel[what] !== null);
  if (said.length === 0) return null;
  const value = Math.max(...said.map((panel) => panel[what]!)) as ClassNumber;
  return {
    value,
    reasons: said
      .filter((panel) => panel[what] === value)
      .map(({ mark, reasons }) => ({
        text: `${mark}: ${reasons.map(({ text }) => text).join('; ')}`,
        observations: [],
      })),
  };
}

function recommendationOf(panels: readonly SurveyedPanel[]): ConditionRecord['recommendation'] {
  const text = lines(
    panels.map(({ mark, recommendationText }) => [named(panels, mark), recommendationText]),
  );
  const value = worstOf(panels, 'recommendation')?.value ?? null;
  return value === null && text === null ? null : { value, text };
}

async function bulgesOf(
  tx: Tx,
  panels: readonly { panelId: string; fullMark: string }[],
): Promise<ConditionRecord['bulges']> {
  const rows = standingConditions(
    await tx.query<DeflectionRow>(
      `SELECT * FROM deflection WHERE panel_id = ANY($1::uuid[]) AND state = 'recorded'`,
      [panels.map(({ panelId }) => panelId)],
    ),
  );
  const byPanel = new Map(rows.map((row) => [row.panelId, row]));
  return panels.flatMap(({ panelId, fullMark }) => {
    const row = byPanel.get(panelId);
    if (row === undefined) return [];
    const { maximumMm, readings } = row.figures as z.infer<typeof deflectionAnswer>['figures'];
    return [
      {
        mark: fullMark,
        riseMm: maximumMm.value,
        offMm: 2 * maximumMm.sigma,
        readings,
        datum: row.datum,
        happened: row.happened,
      },
    ];
  });
}
