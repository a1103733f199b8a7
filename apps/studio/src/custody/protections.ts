/** How each opening of a window is closed while its panel is away, from the statements of it. */
import type { WorkStep } from '../platform/api/custody.js';

export interface Protection {
  readonly by: 'temporary-glazing' | 'boarding' | 'sheeting' | 'none';
  readonly how: string | null;
  readonly checkedByRole: string | null;
  /** EDTF, of the last statement */
  readonly happened: string | null;
}

/**
 * By the panel's mark in its window; the last statement about an opening counts.
 *
 * @param steps newest first
 */
export function protectionsOf(
  steps: readonly Pick<WorkStep, 'marks' | 'detail' | 'happened'>[],
): ReadonlyMap<string, Protection> {
  const found = new Map<string, Protection>();
  for (const { marks, detail, happened } of steps) {
    const said = detail as { by: Protection['by']; how?: string; checkedByRole?: string };
    for (const full of marks) {
      const mark = full.split('.').at(-1)!;
      if (found.has(mark)) continue;
      found.set(mark, {
        by: said.by,
        how: said.how ?? null,
        checkedByRole: said.checkedByRole ?? null,
        happened,
      });
    }
  }
  return found;
}

export type OpeningState = 'glazed' | 'closed' | 'open';

/** A panel in its place closes its opening; else what was said last of it does. */
export function openingState(workState: string, protection: Protection | undefined): OpeningState {
  if (workState === 'in-place') return 'glazed';
  return protection === undefined || protection.by === 'none' ? 'open' : 'closed';
}
