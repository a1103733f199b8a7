/** Windows of a building in the order in which they ask for somebody. */
import type { ConditionClass } from '#libs/vocabulary';

export interface PanelStanding {
  readonly mark: string;
  /** null: nobody ever said */
  readonly conditionClass: ConditionClass | null;
  readonly urgency: number | null;
  readonly extentRatio: number | null;
  /** Farthest out of its plane, without sign. */
  readonly bulgeMm: number | null;
}

export interface WindowStanding {
  readonly windowId: string;
  /** full mark */
  readonly mark: string;
  readonly sortKey: string;
  readonly title: string;
  readonly panels: readonly PanelStanding[];
  readonly lastSurvey: string | null;
  readonly nextInspection: string | null;
}

export interface RankedWindow extends Omit<WindowStanding, 'panels' | 'sortKey'> {
  /** Worst that was said of a panel; null: nobody said how urgent. */
  readonly urgency: number | null;
  readonly conditionClass: number;
  /** Panels in that class. */
  readonly inWorstClass: number;
  /** Mean over the panels of which it is known. */
  readonly extentRatio: number | null;
  readonly bulgeMm: number | null;
  readonly panels: number;
  /** Panels without a class of 0 to 3. */
  readonly unseen: number;
}

export interface UnseenWindow extends Omit<WindowStanding, 'panels' | 'sortKey'> {
  readonly panels: number;
  readonly notInspected: number;
  readonly notAccessible: number;
  readonly neverSaid: number;
}

export interface Ranking {
  readonly ranked: readonly RankedWindow[];
  /** Windows of which no panel was seen: they stand by themselves, in the order one walks round. */
  readonly apart: readonly UnseenWindow[];
}

/**
 * Worst urgency first, then worst class, extent, bulge; what is equal stands in the order of the marks.
 * What nobody looked at is no good news: a window without any class stands apart, and a panel without
 * one is counted beside the figures of its window, never into them.
 */
export function rankWindows(windows: readonly WindowStanding[]): Ranking {
  const ranked: { row: RankedWindow; sortKey: string }[] = [];
  const apart: { row: UnseenWindow; sortKey: string }[] = [];
  for (const { panels, sortKey, ...window } of windows) {
    const classes = panels.flatMap(({ conditionClass }) =>
      typeof conditionClass === 'number' ? [conditionClass] : [],
    );
    const count = (what: ConditionClass | null) =>
      panels.filter(({ conditionClass }) => conditionClass === what).length;
    if (classes.length === 0) {
      const row = {
        ...window,
        panels: panels.length,
        notInspected: count('not-inspected'),
        notAccessible: count('not-accessible'),
        neverSaid: count(null),
      };
      apart.push({ row, sortKey });
      continue;
    }
    const conditionClass = Math.max(...classes);
    const extents = known(panels.map(({ extentRatio }) => extentRatio));
    const row = {
      ...window,
      urgency: largest(panels.map(({ urgency }) => urgency)),
      conditionClass,
      inWorstClass: classes.filter((one) => one === conditionClass).length,
      extentRatio:
        extents.length === 0 ? null : extents.reduce((a, b) => a + b, 0) / extents.length,
      bulgeMm: largest(panels.map(({ bulgeMm }) => bulgeMm)),
      panels: panels.length,
      unseen: panels.length - classes.length,
    };
    ranked.push({ row, sortKey });
  }
  // Where nobody said how urgent it is, its class stands in: silence must not lead to the good end.
  const urgencyOf = ({ urgency, conditionClass }: RankedWindow) => urgency ?? conditionClass;
  const descending = (a: number | null, b: number | null) => (b ?? -1) - (a ?? -1);
  const bySortKey = (a: { sortKey: string }, b: { sortKey: string }) =>
    a.sortKey < b.sortKey ? -1 : 1;
  ranked.sort(
    (a, b) =>
      descending(urgencyOf(a.row), urgencyOf(b.row)) ||
      descending(a.row.conditionClass, b.row.conditionClass) ||
      descending(a.row.extentRatio, b.row.extentRatio) ||
      descending(a.row.bulgeMm, b.row.bulgeMm) ||
      bySortKey(a, b),
  );
  apart.sort(bySortKey);
  return { ranked: ranked.map(({ row }) => row), apart: apart.map(({ row }) => row) };
}

function known(values: readonly (number | null)[]): number[] {
  return values.filter((value) => value !== null);
}

function largest(values: readonly (number | null)[]): number | null {
  const all = known(values);
  return all.length === 0 ? null : Math.max(...all);
}
