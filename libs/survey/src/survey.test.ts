import {
  inspectionsIcal,
  type PanelStanding,
  proposedReasons,
  rankingCsv,
  rankWindows,
  type SaidPanel,
  surveyChange,
  type WindowStanding,
} from './index.js';

const panel = (over: Partial<PanelStanding> = {}): PanelStanding => ({
  mark: '1a',
  conditionClass: 1,
  urgency: 0,
  extentRatio: 0.1,
  bulgeMm: 2,
  ...over,
});
const window = (mark: string, panels: PanelStanding[]): WindowStanding => ({
  windowId: mark,
  mark: `SLM.${mark}`,
  sortKey: mark,
  title: 'a window, "the old one"',
  panels,
  lastSurvey: '2026',
  nextInspection: null,
});

it('ranks by urgency, class, extent, bulge and mark, and sets apart what nobody saw', () => {
  const { ranked, apart } = rankWindows([
    window('f', [panel()]),
    window('e', [panel()]),
    window('d', [panel({ bulgeMm: 9 })]),
    window('c', [panel({ extentRatio: 0.4 })]),
    window('b', [panel({ conditionClass: 2 })]),
    window('a', [
      panel({ urgency: 3 }),
      panel({ conditionClass: 'not-accessible', urgency: null }),
    ]),
    window('g', [panel({ conditionClass: 'not-inspected', urgency: null })]),
    window('h', [panel({ conditionClass: null, urgency: null })]),
    window('i', [panel({ conditionClass: 3, urgency: null })]),
  ]);
  // i: class 3 without a word on urgency stands with urgency 3, not at the end
  expect(ranked.map(({ mark }) => mark.slice(4)).join('')).toBe('iabcdef');
  expect(ranked[1]).toMatchObject({ urgency: 3, panels: 2, unseen: 1, conditionClass: 1 });
  expect(apart.map(({ mark }) => mark)).toEqual(['SLM.g', 'SLM.h']);
  expect(apart[0]).toMatchObject({ notInspected: 1, neverSaid: 0 });
});

it('writes the list as RFC 4180 has it, unseen windows without a rank', () => {
  const text = rankingCsv(
    rankWindows([window('=a', [panel()]), window('b', [panel({ conditionClass: null })])]),
  );
  const lines = text.split('\r\n');
  expect(lines[1]).toBe('1,SLM.=a,"a window, ""the old one""",0,1,1,1,0,10,2.0,2026,');
  expect(lines[3]).toMatch(/^not seen,SLM\.b,/);
  expect(lines.at(-1)).toBe('');
});

it.each<[string, Partial<SaidPanel> | null, Partial<SaidPanel>]>([
  ['worse', { conditionClass: 1 }, { conditionClass: 2 }],
  ['better', { conditionClass: 2 }, { conditionClass: 1 }],
  ['worse', { urgency: 0 }, { urgency: 2 }],
  ['worse', { extentRatio: 0.1 }, { extentRatio: 0.2 }],
  ['same', { extentRatio: 0.1 }, { extentRatio: 0.12 }],
  ['same', { urgency: null }, { urgency: 2 }],
  ['same', { urgency: 2 }, { urgency: null }],
  ['worse', { extentRatio: 2 / 20 }, { extentRatio: 3 / 20 }],
  ['seen-first', null, {}],
  ['seen-first', { conditionClass: 'not-inspected' }, {}],
  ['no-longer-seen', {}, { conditionClass: 'not-accessible' }],
  [
    'not-seen-either-time',
    { conditionClass: 'not-inspected' },
    { conditionClass: 'not-inspected' },
  ],
])('says %s of %j and %j', (word, before, after) => {
  const said = (over: Partial<SaidPanel>): SaidPanel => ({
    mark: '1a',
    conditionClass: 1,
    urgency: 1,
    extentRatio: null,
    ...over,
  });
  const [change] = surveyChange(before === null ? [] : [said(before)], [said(after)]);
  expect(change?.change).toBe(word);
});

it('proposes reasons with counts, lengths, areas counted once and pieces touched', () => {
  const square = (x: number) =>
    [
      [x, 0],
      [x + 20, 0],
      [x + 20, 20],
      [x, 20],
    ] as const;
  const pieces = [0, 20, 40, 60].map((x, i) => ({
    pieceId: String(i + 1),
    centreRingMm: square(x),
    sightRingsMm: [square(x)],
  }));
  const area = (x: number, y: number) => ({
    kind: 'area' as const,
    xyMm: [
      [x, y],
      [x + 10, y],
      [x + 10, y + 10],
      [x, y + 10],
    ] as const,
  });
  const none = { countN: null, lengthMm: null, areaMm2: null, shareRatio: null };
  const finding = (findingId: string, term: string, geometry: ReturnType<typeof area>) => ({
    findingId,
    term,
    inPanel: null,
    geometry,
    measure: { ...none, areaMm2: 100 },
  });
  const told = proposedReasons(
    [
      // two losses that overlap by 50 mm² (WE-35's rule: the union counts, not the sum)
      finding('a', 'paint.loss', area(2, 2)),
      finding('b', 'paint.loss', area(7, 2)),
      finding('c', 'rep.plate', area(45, 5)),
    ],
    pieces,
  );
  const loss = told.reasons.find(({ term }) => term === 'paint.loss')!;
  expect(loss).toMatchObject({ count: 2, pieces: 1, findingIds: ['a', 'b'] });
  expect(loss.areaMm2).toBeCloseTo(150, 6);
  expect(loss.shareRatio).toBeCloseTo(150 / 1600, 6);
  // the plate is earlier work, no damage
  expect(told).toMatchObject({ extentRatio: 0.25, piecesTouched: 1, pieces: 4 });
  expect(proposedReasons([], []).extentRatio).toBeNull();
});

it('writes dates as RFC 5545 has them: whole days, escaped, folded at 75 octets, CRLF', () => {
  const text = inspectionsIcal(
    [
      {
        surveyId: 'id',
        mark: 'SLM.wI',
        title: `West; window, ${'ü'.repeat(60)}`,
        day: '2031-01-01',
        said: '2031',
        recordedAt: new Date('2026-05-04T10:20:30.456Z'),
      },
    ],
    'studio.example/archive',
  );
  expect(text).toContain('DTSTART;VALUE=DATE:20310101\r\n');
  expect(text).toContain('DTSTAMP:20260504T102030Z\r\n');
  expect(text).toContain('West\\; window\\, ');
  for (const line of text.split('\r\n')) {
    expect(new TextEncoder().encode(line).length).toBeLessThanOrEqual(75);
  }
  expect(text.replaceAll('\r\n ', '')).toContain('ü'.repeat(60));
  expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
});
