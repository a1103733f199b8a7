import type { Rubbing } from '../platform/api/panels.js';
import { say } from '../platform/language/say.js';

/** 'outside face, back layer, 2026-11-25' */
export function sayRubbing({ sheet, happened }: Rubbing): string {
  return [
    say('{face} face', { face: sheet?.face ?? say('inside') }),
    ...(sheet?.layer === 'back' ? [say('back layer')] : []),
    ...(happened === null ? [] : [happened]),
  ].join(', ');
}
