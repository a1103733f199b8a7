/**
 * The next act at a panel, worked out from its record. Advice only: nothing is refused because of
 * order, and every act stays within reach by its own words.
 */

import { say } from '../platform/language/say.js';
import type { Act } from '../platform/place.js';

export interface PanelRecord {
  readonly pictures: number;
  readonly rubbingsTaken: number;
  readonly notRubbedBecause: string | null;
  readonly rubbingPictures: number;
  readonly netRevision: number | null;
  readonly signedRevision: number | null;
  readonly doubtfulPlaces: number;
  readonly provisionalPieces: number;
  /** picture that is neither the rubbing nor laid under the drawing yet */
  readonly unlaid: { readonly mediaId: string; readonly words: string } | null;
  readonly findings: number;
}

export interface NextAct {
  /** 'ready to rub' */
  readonly words: string;
  readonly because: string;
  readonly act: Act | 'sign' | 'carry-over';
  readonly thing?: string;
}

export function nextAct(record: PanelRecord): NextAct {
  const signed = record.signedRevision !== null && record.signedRevision === record.netRevision;
  if (record.netRevision !== null && !signed)
    return {
      act: 'sign',
      words: say('look through and sign the drawing'),
      because:
        record.doubtfulPlaces === 0
          ? say('no place is in doubt')
          : say(
              '{doubtfulPlaces} {doubtfulPlaces, plural, one {place is} other {places are}} in doubt',
              { doubtfulPlaces: record.doubtfulPlaces },
            ),
    };
  if (signed && record.provisionalPieces > 0)
    return {
      act: 'carry-over',
      words: say('carry the provisional numbers over'),
      because: say('{provisionalPieces} traced before the drawing was signed', {
        provisionalPieces: record.provisionalPieces,
      }),
    };
  if (record.netRevision === null) {
    if (record.pictures === 0)
      return {
        act: 'send',
        words: say('photograph the panel'),
        because: say('nothing shows it yet'),
      };
    if (record.notRubbedBecause !== null && record.rubbingsTaken === 0)
      return {
        act: 'find',
        words: say('record what you see'),
        because: say('this panel is not rubbed'),
      };
    if (record.rubbingsTaken === 0)
      return {
        act: 'rub',
        words: say('say whether it may be rubbed'),
        because: say('no rubbing is recorded'),
      };
    if (record.rubbingPictures === 0)
      return {
        act: 'send',
        thing: say('rubbing'),
        words: say('send the picture of the rubbing'),
        because: say('the sheet is recorded'),
      };
    return {
      act: 'rub',
      words: say('set the marks on the rubbing'),
      because: say('its picture is here'),
    };
  }
  if (record.unlaid)
    return {
      act: 'lay',
      thing: record.unlaid.mediaId,
      words: say('lay the picture in {words} under the drawing', { words: record.unlaid.words }),
      because: say('then what is drawn on it lands in millimetres'),
    };
  if (record.findings === 0)
    return { act: 'find', words: say('record what you see'), because: say('no finding yet') };
  return {
    act: 'papers',
    words: say('print the condition record'),
    because: say('the panel is recorded'),
  };
}
