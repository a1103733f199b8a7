/** Two surveys of one window, panel by panel. */
import type { ConditionClass } from '#libs/vocabulary';

export interface SaidPanel {
  readonly mark: string;
  readonly conditionClass: ConditionClass;
  readonly urgency: number | null;
  readonly extentRatio: number | null;
}

export type ChangeWord =
  | 'worse'
  | 'better'
  | 'same'
  | 'seen-first'
  | 'no-longer-seen'
  | 'not-seen-either-time'
  | 'only-before';

export interface PanelChange {
  readonly mark: string;
  readonly change: ChangeWord;
  readonly before: SaidPanel | null;
  readonly after: SaidPanel | null;
}

/**
 * A panel is worse or better by its class, of the same class by its urgency, then by its extent when
 * that moved by five in a hundred pieces (common practice, no source). What was not seen has not changed:
 * nobody knows.
 */
export function surveyChange(
  before: readonly SaidPanel[],
  after: readonly SaidPanel[],
): PanelChange[] {
  const earlier = new Map(before.map((panel) => [panel.mark, panel]));
  const later = new Set(after.map(({ mark }) => mark));
  return [
    ...after.map((panel): PanelChange => {
      const was = earlier.get(panel.mark) ?? null;
      return { mark: panel.mark, change: changeOf(was, panel), before: was, after: panel };
    }),
    ...before
      .filter(({ mark }) => !later.has(mark))
      .map((panel): PanelChange => {
        return { mark: panel.mark, change: 'only-before', before: panel, after: null };
      }),
  ];
}

const TELLING_RATIO = 0.05;

function changeOf(before: SaidPanel | null, after: SaidPanel): ChangeWord {
  const was = before?.conditionClass;
  const is = after.conditionClass;
  if (typeof is !== 'number')
    return typeof was === 'number' ? 'no-longer-seen' : 'not-seen-either-time';
  if (typeof was !== 'number') return 'seen-first';
  const steps = [is - was, (after.urgency ?? 0) - (before?.urgency ?? after.urgency ?? 0)];
  const extent =
    after.extentRatio === null || (before?.extentRatio ?? null) === null
      ? 0
      : after.extentRatio - before!.extentRatio!;
  if (Math.abs(extent) >= TELLING_RATIO) steps.push(extent);
  const step = steps.find((one) => one !== 0) ?? 0;
  return step > 0 ? 'worse' : step < 0 ? 'better' : 'same';
}
