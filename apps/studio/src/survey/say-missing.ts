import { say } from '../platform/language/say.js';
import type { Missing } from './survey-draft.js';

/** What is still to be said before a visit can be recorded. */
export const sayMissing = (missing: Missing): string =>
  ({
    purpose: say('Say why this survey is made.'),
    panel: say('Say something of one panel at least.'),
    reason: say('Say what was seen, or why nobody looked.'),
    why: say('Say why the computed reason does not count here.'),
  })[missing];
