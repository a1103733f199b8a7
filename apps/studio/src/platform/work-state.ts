import type { WorkState } from './api/windows.js';
import { say } from './language/say.js';

export const workStates: readonly WorkState[] = ['in-place', 'out', 'on-bench', 'rebuilt'];

export const workStateWords: Readonly<Record<WorkState, string>> = {
  'in-place': say('in place'),
  out: say('out, crated'),
  'on-bench': say('on the bench'),
  rebuilt: say('rebuilt'),
};
