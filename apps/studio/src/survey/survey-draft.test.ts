import { bodyOf, EMPTY_PANEL, emptyDraft, isDraft, type PanelDraft } from './survey-draft.js';

const crack = {
  panelId: 'a',
  mark: '1a',
  extentRatio: 0.25,
  piecesTouched: 1,
  pieces: 4,
  reasons: [
    {
      term: 'glass.crack.simple',
      text: '3 × simple crack',
      how: '3 recorded findings',
      findingIds: [],
      count: 3,
      lengthMm: 40,
      areaMm2: null,
      shareRatio: null,
      pieces: 1,
    },
  ],
};
const proposals = new Map([['a', crack]]);
const draftWith = (panel: Partial<PanelDraft>, purpose = 'five-year survey') => {
  const draft = emptyDraft('key', '2026-05-04');
  return {
    ...draft,
    said: { ...draft.said, purpose },
    panels: { a: { ...EMPTY_PANEL, ...panel } },
  };
};

it.each([
  ['purpose', draftWith({ conditionClass: '1' }, ' ')],
  ['panel', draftWith({})],
  ['reason', draftWith({ conditionClass: 'not-accessible' })],
  ['why', draftWith({ conditionClass: '1', reason: 'r', setAside: { '3 × simple crack': ' ' } })],
])('says that the %s is missing', (missing, draft) => {
  expect(bodyOf(draft, proposals)).toMatchObject({ missing });
});

it('takes computed reasons unless they were set aside with a reason', () => {
  const taken = bodyOf(draftWith({ conditionClass: '2', urgency: '1' }), proposals);
  expect(taken).toMatchObject({
    body: {
      panels: [
        {
          conditionClass: 2,
          urgency: 1,
          extentRatio: 0.25,
          reasons: [{ text: '3 × simple crack', source: 'findings' }],
        },
      ],
    },
  });
  const aside = draftWith({
    conditionClass: '1',
    reason: 'stable',
    setAside: { '3 × simple crack': 'old' },
  });
  expect(bodyOf(aside, proposals)).toMatchObject({
    body: {
      panels: [
        {
          reasons: [{ text: 'stable', source: 'surveyor' }],
          setAside: [{ text: '3 × simple crack', why: 'old' }],
        },
      ],
    },
  });
});

it('sends no urgency and no extent of what nobody saw', () => {
  const unseen = draftWith({ conditionClass: 'not-accessible', urgency: '3', reason: 'organ' });
  expect(bodyOf(unseen, proposals)).toMatchObject({
    body: { panels: [{ conditionClass: 'not-accessible', urgency: null, extentRatio: null }] },
  });
});

it('knows a draft that it wrote, and nothing else', () => {
  expect(isDraft(JSON.parse(JSON.stringify(emptyDraft('k', 'd'))))).toBe(true);
  const whole = draftWith({ conditionClass: '2', urgency: '1', setAside: { crack: 'old' } });
  expect(isDraft(JSON.parse(JSON.stringify(whole)))).toBe(true);
  for (const other of [null, {}, [], 'text', { key: 'k', happened: 'd', said: {}, panels: {} }])
    expect(isDraft(other)).toBe(false);
});

it.each([
  ['no words', { said: null }],
  ['no panels', { panels: null }],
  ['an empty panel', { panels: { a: {} } }],
  ['a class that there is not', { panels: { a: { ...EMPTY_PANEL, conditionClass: '9' } } }],
  ['an urgency that is no text', { panels: { a: { ...EMPTY_PANEL, urgency: 1 } } }],
  [
    'what was set aside without words',
    { panels: { a: { ...EMPTY_PANEL, setAside: { c: null } } } },
  ],
])('takes up no draft with %s', (_, part) => {
  expect(isDraft({ ...draftWith({}), ...part })).toBe(false);
});
