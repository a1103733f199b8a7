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
/** Shares of pieces are quotients: 3/20 - 2/20 is a little less than five in a hundred. */
const ROUNDING = 1e-9;

function changeOf(before: SaidPanel | null, after: SaidPanel): ChangeWord {
  const was = before?.conditionClass;
  const is = after.conditionClass;
  if (typeof is !== 'number')
    return typeof was === 'number' ? 'no-longer-seen' : 'not-seen-either-time';
  if (typeof was !== 'number') return 'seen-first';
  const extent = step(before!.extentRatio, after.extentRatio);
  const first = [
    is - was,
    step(before!.urgency, after.urgency),
    Math.abs(extent) < TELLING_RATIO - ROUNDING ? 0 : extent,
  ].find((one) => one !== 0);
  return first === undefined ? 'same' : first > 0 ? 'worse' : 'better';
}

/** What was not said at one of the two visits tells no change. */
const step = (before: number | null, after: number | null): number =>
  before === null || after === null ? 0 : after - before;
