/** What a panel's place in the drawing can show, whatever the day. */
import type { z } from 'zod';
import {
  readConditionClass,
  standingConditions,
  type Tx,
  type windowPanelAnswer,
} from '#libs/archive';
import { conditionsThen } from './conditions-then.js';
import { type FindingThen, findingsThen } from './findings-then.js';
import { type GlassThen, glassThen } from './glass-then.js';
import type { Moment } from './moment.js';
import { type InterventionThen, interventionsThen, isExamination } from './work-then.js';

export type PanelAnswer = z.infer<typeof windowPanelAnswer>;

export interface WindowPlace {
  readonly siteId: string;
  readonly windowId: string;
  /** `SLM.wI` */
  readonly fullMark: string;
}

type Facts = Pick<
  PanelAnswer,
  'findings' | 'terms' | 'condition' | 'lastWork' | 'glass' | 'lastHappened'
>;

/** By the panel's own id and mark. */
export async function panelFacts(
  tx: Tx,
  { siteId, windowId, fullMark }: WindowPlace,
  moment: Moment,
): Promise<(panelId: string, mark: string) => Facts> {
  const [findings, conditions, work, glass] = await Promise.all([
    findingsThen(tx, siteId, windowId, moment),
    conditionsThen(tx, siteId, windowId, moment.known),
    interventionsThen(tx, siteId, fullMark, moment),
    glassThen(tx, siteId, windowId, fullMark, moment.known),
  ]);
  const found = byPanelId(findings);
  const glazed = byPanelId(glass);
  const classes = new Map(
    standingConditions(conditions, moment.until).map((row) => [row.panelId, row]),
  );
  const lastWork = lastWorkByMark(work, fullMark);
  return (panelId, mark) => {
    const here = found.get(panelId) ?? [];
    const condition = classes.get(panelId);
    const last = lastWork(mark);
    return {
      findings: here.reduce((sum, { count }) => sum + count, 0),
      terms: countedBy(
        here,
        ({ term }) => term,
        ({ count }) => count,
      ),
      lastHappened: newest(here),
      condition:
        condition === undefined
          ? null
          : {
              conditionClass: readConditionClass(condition.conditionClass),
              reason: condition.reason,
              happened: condition.happened,
            },
      lastWork: last === undefined ? null : { operation: last.operation, happened: last.happened },
      glass: countedBy(glazed.get(panelId) ?? [], (piece: GlassThen) => piece.glass),
    };
  };
}

/** The latest work on a panel: on itself, on something in it, or on the window as a whole. */
function lastWorkByMark(
  oldestFirst: readonly InterventionThen[],
  windowMark: string,
): (mark: string) => InterventionThen | undefined {
  const byPanel = new Map<string, { work: InterventionThen; at: number }>();
  let whole: { work: InterventionThen; at: number } | undefined;
  for (const [at, work] of oldestFirst.entries()) {
    if (isExamination(work.operation)) continue;
    for (const subject of work.subjects) {
      const inWindow = subject.startsWith(`${windowMark}.`)
        ? subject.slice(windowMark.length + 1).split('.')[0]!
        : undefined;
      if (inWindow !== undefined) byPanel.set(inWindow, { work, at });
      else if (subject === windowMark || windowMark.startsWith(`${subject}.`)) whole = { work, at };
    }
  }
  return (mark) => {
    const own = byPanel.get(mark);
    return own === undefined || (whole !== undefined && whole.at > own.at) ? whole?.work : own.work;
  };
}

function byPanelId<T extends { readonly panelId: string }>(items: readonly T[]): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const group = groups.get(item.panelId);
    if (group === undefined) groups.set(item.panelId, [item]);
    else group.push(item);
  }
  return groups;
}

/** @param countOf of one item */
function countedBy<T>(
  items: readonly T[],
  keyOf: (item: T) => string,
  countOf: (item: T) => number = () => 1,
): Record<string, number> {
  const counts = new Map<string, number>();
  for (const item of items) counts.set(keyOf(item), (counts.get(keyOf(item)) ?? 0) + countOf(item));
  return Object.fromEntries(counts);
}

function newest(findings: readonly FindingThen[]): string | null {
  const dated = findings.filter(({ happened }) => happened !== null);
  return (
    dated.reduce<FindingThen | undefined>(
      (last, one) => (last === undefined || one.recordedAt >= last.recordedAt ? one : last),
      undefined,
    )?.happened ?? null
  );
}
