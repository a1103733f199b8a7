import type { Rubbing } from '../platform/api/panels.js';
import { say, sayWord } from '../platform/language/say.js';

/** 'outside face, back layer, 2026-11-25' */
export function sayRubbing({ sheet, happened }: Rubbing): string {
  return [
    say('{face} face', { face: sayWord(sheet?.face ?? 'inside') }),
    ...(sheet?.layer === 'back' ? [say('back layer')] : []),
    ...(happened === null ? [] : [happened]),
  ].join(', ');
}
