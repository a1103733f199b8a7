import type { DoubtReason, Question } from '#libs/net';
import { sayPart } from './say-part.js';

const reasons: Readonly<Record<DoubtReason, string>> = {
  'gap-bridged': 'a gap in the wax was bridged',
  'weak-wax': 'the wax is weak here',
  'width-uneven': 'the width varies along it',
  'runs-disagree': 'two ways of reading the sheet disagree',
  'junction-unclear': 'it is not clear how the leads meet',
  'may-be-missing': 'a lead may be missing here',
};

export const sayReasons = (list: readonly DoubtReason[]): string =>
  list.map((one) => reasons[one]).join('; ');

/** What is asked of the person, in words. */
export function ask({ about, leadId, reasons: list }: Question): string {
  if (about === 'gap') return 'A lead ends here. Does it go on?';
  if (about === 'lead') return `Is ${sayPart('lead', leadId ?? '')} there, as it is drawn?`;
  return list.includes('may-be-missing')
    ? 'Is a lead missing here?'
    : 'Is this drawn as it is on the panel?';
}
