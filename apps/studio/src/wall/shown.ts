/** What the elevation shows: the words, and which of them each panel gets. */
import type { WindowPanel } from '../platform/api/windows.js';
import { workStates, workStateWords } from '../platform/work-state.js';

export const shows = ['work', 'findings', 'drawings'] as const;
export type Shows = (typeof shows)[number];

export const showWords: Readonly<Record<Shows, string>> = {
  work: 'state of work',
  findings: 'findings',
  drawings: 'lead drawings',
};

export interface Shade {
  readonly key: string;
  readonly words: string;
}

const findingShades: readonly Shade[] = [
  { key: 'none', words: 'nothing recorded' },
  { key: 'few', words: '1 to 4 findings' },
  { key: 'many', words: '5 or more' },
];
const drawingShades: readonly Shade[] = [
  { key: 'none', words: 'not drawn yet' },
  { key: 'drawn', words: 'drawn, not signed' },
  { key: 'signed', words: 'signed' },
];

export function shadesOf(what: Shows): readonly Shade[] {
  if (what === 'work') return workStates.map((key) => ({ key, words: workStateWords[key] }));
  return what === 'findings' ? findingShades : drawingShades;
}

export function shadeOf(what: Shows, panel: WindowPanel): string {
  if (what === 'work') return panel.workState;
  if (what === 'findings')
    return panel.findings === 0 ? 'none' : panel.findings < 5 ? 'few' : 'many';
  if (panel.netRevision === null) return 'none';
  return panel.signedRevision === panel.netRevision ? 'signed' : 'drawn';
}
