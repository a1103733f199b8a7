/**
 * The next act at a panel, worked out from its record. Advice only: nothing is refused because of
 * order, and every act stays within reach by its own words.
 */
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
      words: 'look through and sign the drawing',
      because:
        record.doubtfulPlaces === 0
          ? 'no place is in doubt'
          : `${record.doubtfulPlaces} ${record.doubtfulPlaces === 1 ? 'place is' : 'places are'} in doubt`,
    };
  if (signed && record.provisionalPieces > 0)
    return {
      act: 'carry-over',
      words: 'carry the provisional numbers over',
      because: `${record.provisionalPieces} traced before the drawing was signed`,
    };
  if (record.netRevision === null) {
    if (record.pictures === 0)
      return { act: 'send', words: 'photograph the panel', because: 'nothing shows it yet' };
    if (record.notRubbedBecause !== null && record.rubbingsTaken === 0)
      return { act: 'find', words: 'record what you see', because: 'this panel is not rubbed' };
    if (record.rubbingsTaken === 0)
      return {
        act: 'rub',
        words: 'say whether it may be rubbed',
        because: 'no rubbing is recorded',
      };
    if (record.rubbingPictures === 0)
      return {
        act: 'send',
        thing: 'rubbing',
        words: 'send the picture of the rubbing',
        because: 'the sheet is recorded',
      };
    return { act: 'rub', words: 'set the marks on the rubbing', because: 'its picture is here' };
  }
  if (record.unlaid)
    return {
      act: 'lay',
      thing: record.unlaid.mediaId,
      words: `lay the picture in ${record.unlaid.words} under the drawing`,
      because: 'then what is drawn on it lands in millimetres',
    };
  if (record.findings === 0)
    return { act: 'find', words: 'record what you see', because: 'no finding yet' };
  return { act: 'papers', words: 'print the condition record', because: 'the panel is recorded' };
}
