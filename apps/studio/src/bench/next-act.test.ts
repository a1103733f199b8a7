import { nextAct, type PanelRecord } from './next-act.js';

/** The order of work is product.md's: survey, rubbing, drawing, then findings on it. */
const untouched: PanelRecord = {
  pictures: 0,
  rubbingsTaken: 0,
  notRubbedBecause: null,
  rubbingPictures: 0,
  netRevision: null,
  signedRevision: null,
  doubtfulPlaces: 0,
  provisionalPieces: 0,
  unlaid: null,
  findings: 0,
};
const with_ = (change: Partial<PanelRecord>) => nextAct({ ...untouched, ...change });

describe('nextAct', () => {
  it.each<[string, Partial<PanelRecord>, string]>([
    ['an untouched panel', {}, 'send'],
    ['a photographed panel', { pictures: 1 }, 'rub'],
    ['a sheet without its picture', { pictures: 1, rubbingsTaken: 1 }, 'send'],
    ['a pictured sheet', { pictures: 2, rubbingsTaken: 1, rubbingPictures: 1 }, 'rub'],
    ['a panel that must not be rubbed', { pictures: 1, notRubbedBecause: 'cold paint' }, 'find'],
    ['a drawing to sign', { pictures: 2, netRevision: 1, doubtfulPlaces: 3 }, 'sign'],
    ['a later drawing than the signed one', { netRevision: 2, signedRevision: 1 }, 'sign'],
    [
      'numbers to carry over',
      { netRevision: 1, signedRevision: 1, provisionalPieces: 2 },
      'carry-over',
    ],
    [
      'a picture not yet under the drawing',
      { netRevision: 1, signedRevision: 1, unlaid: { mediaId: 'm', words: 'raking light' } },
      'lay',
    ],
    ['a drawing without findings', { netRevision: 1, signedRevision: 1 }, 'find'],
    ['a recorded panel', { netRevision: 1, signedRevision: 1, findings: 2 }, 'papers'],
  ])('%s', (_, change, act) => {
    expect(with_(change).act).toBe(act);
  });

  it('names how many places are in doubt', () => {
    expect(with_({ netRevision: 1, doubtfulPlaces: 1 }).because).toBe('1 place is in doubt');
  });
});
