import { newWalk, readWalk, type Seen, WALK_PANEL, type Walk, walkOn } from './walk-steps.js';

const going: Walk = { ...newWalk, state: 'going' };
const nowhere: Seen = { mark: null, act: null, findings: null };
const crack = (findingId: string, state = 'recorded', term = 'glass.crack.simple') => ({
  findingId,
  state,
  term,
  entrySeq: 512,
});

describe('the first walk', () => {
  it('stays where nothing was done', () => {
    expect(walkOn(going, nowhere)).toBe(going);
    expect(walkOn(going, { ...nowhere, mark: 'SLM.sII.2b' })).toBe(going);
  });
  it('goes from act to act', () => {
    const found = walkOn(going, { ...nowhere, mark: WALK_PANEL });
    expect(found.step).toBe('rubbing');
    const rubbed = walkOn(found, { ...nowhere, mark: WALK_PANEL, act: 'rub' });
    expect(rubbed.step).toBe('crack');
    const known = walkOn(rubbed, { ...nowhere, findings: [crack('old')] });
    expect(known).toMatchObject({ step: 'crack', before: ['old'] });
    const marked = walkOn(known, { ...nowhere, findings: [crack('old'), crack('own')] });
    expect(marked).toMatchObject({ step: 'record', marked: { findingId: 'own', entrySeq: 512 } });
    const seen = walkOn(marked, { ...nowhere, mark: WALK_PANEL, act: 'papers' });
    expect(seen.step).toBe('undo');
    expect(walkOn(seen, { ...nowhere, findings: [crack('own')] }).state).toBe('going');
    expect(walkOn(seen, { ...nowhere, findings: [crack('own', 'withdrawn')] }).state).toBe('done');
    expect(walkOn(seen, { ...nowhere, findings: [] }).state).toBe('done');
    expect(walkOn(seen, nowhere).state).toBe('going');
  });
  it('takes no other finding for the crack', () => {
    const at: Walk = { ...going, step: 'crack', before: [] };
    expect(walkOn(at, { ...nowhere, findings: [crack('a', 'recorded', 'paint.loss')] })).toBe(at);
    expect(walkOn(at, { ...nowhere, findings: [crack('a', 'withdrawn')] })).toBe(at);
  });
  it('stands still while it is left', () => {
    const left: Walk = { ...going, state: 'left' };
    expect(walkOn(left, { ...nowhere, mark: WALK_PANEL })).toBe(left);
  });
  it.each(['', 'null', '{', '{"state":"going","step":"fly"}', '[]'])('takes %j as new', (text) => {
    expect(readWalk(text)).toEqual(newWalk);
  });
  it('is taken up where it was left', () => {
    const at: Walk = { ...going, step: 'crack', before: ['a'] };
    expect(readWalk(JSON.stringify(at))).toEqual(at);
  });
});
