import type { DoubtReason, Question } from '#libs/net';
import { say } from './language/say.js';
import { sayPart } from './say-part.js';

const reasons: Readonly<Record<DoubtReason, string>> = {
  'gap-bridged': say('a gap in the wax was bridged'),
  'weak-wax': say('the wax is weak here'),
  'width-uneven': say('the width varies along it'),
  'runs-disagree': say('two ways of reading the sheet disagree'),
  'junction-unclear': say('it is not clear how the leads meet'),
  'may-be-missing': say('a lead may be missing here'),
};

export const sayReasons = (list: readonly DoubtReason[]): string =>
  list.map((one) => reasons[one]).join('; ');

/** What is asked of the person, in words. */
export function ask({ about, leadId, reasons: list }: Question): string {
  if (about === 'gap') return say('A lead ends here. Does it go on?');
  if (about === 'lead')
    return say('Is {sayPart} there, as it is drawn?', { sayPart: sayPart('lead', leadId ?? '') });
  return list.includes('may-be-missing')
    ? say('Is a lead missing here?')
    : say('Is this drawn as it is on the panel?');
}
