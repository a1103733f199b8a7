import type { Rubbing } from '../platform/api/panels.js';

/** 'outside face, back layer, 2026-11-25' */
export function sayRubbing({ sheet, happened }: Rubbing): string {
  return [
    `${sheet?.face ?? 'inside'} face`,
    ...(sheet?.layer === 'back' ? ['back layer'] : []),
    ...(happened === null ? [] : [happened]),
  ].join(', ');
}
