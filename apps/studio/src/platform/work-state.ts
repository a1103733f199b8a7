import type { WorkState } from './api/windows.js';

export const workStates: readonly WorkState[] = ['in-place', 'out', 'on-bench', 'rebuilt'];

export const workStateWords: Readonly<Record<WorkState, string>> = {
  'in-place': 'in place',
  out: 'out, crated',
  'on-bench': 'on the bench',
  rebuilt: 'rebuilt',
};
