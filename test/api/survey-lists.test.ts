/** Lists over surveys: ranking, next inspections, changes, proposed reasons, weights. Expected values are reckoned by hand. */
import {
  type ApiArchive,
  answer,
  type ShownWindow,
  startApiArchive,
  twoPieces,
} from '../support/api-archive.js';

let archive: ApiArchive;
let siteId: string;
let windows: Record<string, ShownWindow>;

beforeAll(async () => {
  archive = await startApiArchive();
  const site = await archive.site('SLM');
  siteId = site.siteId;
  windows = { wI: site };
  for (const mark of ['nII', 'nIII', 'sII'])
    windows[mark] = await archive.window(siteId, mark, `Window, ${mark}`);
}, 60_000);
afterAll(() => archive.close());

type Said = readonly [
  mark: string,
  conditionClass: number | string,
  urgency?: number,
  extentRatio?: number,
];

async function visit(
  window: string,
  happened: string,
  nextInspection: string | null,
  said: Said[],
) {
  const { surveyId } = await answer<{ surveyId: string }>(
    archive.keeper.post(`/v1/windows/${windows[window]!.windowId}/surveys`, {
      purpose: 'survey',
      happened,
      nextInspection,
      panels: said.map(([mark, conditionClass, urgency, extentRatio]) => ({
        panelId: windows[window]!.panels[mark],
        conditionClass,
        urgency: urgency ?? null,
        recommendation: null,
        extentRatio: extentRatio ?? null,
        reasons: [{ text: 'as seen', source: 'surveyor' }],
      })),
    }),
    201,
  );
  return surveyId;
}

describe('of four windows', () => {
  let first: string;
  let second: string;
  beforeAll(async () => {
    first = await visit('wI', '2018-05', '2001', [
      ['1a', 1, 0, 0.1],
      ['1b', 2, 1],
      ['2a', 'not-accessible'],
      ['2b', 1, 1, 0.2],
    ]);
    second = await visit('wI', '2024-05', '2999', [
      ['1a', 3, 2, 0.4],
      ['1b', 1, 1],
      ['2a', 0, 0],
    ]);
    await visit('nII', '2023', '2024-02', [
      ['1a', 2, 1, 0.25],
      ['1b', 1, 2, 0.75],
    ]);
    await visit('sII', '2023', null, [['1a', 'not-inspected']]);
  });

  it('ranks those that somebody saw and sets the others apart', async () => {
    const { ranked, apart } = await answer<{
      ranked: { mark: string; extentRatio: number }[];
      apart: object[];
    }>(archive.keeper.get(`/v1/sites/${siteId}/ranking`), 200);
    // Both say urgency 2; the worse class goes first. 2b of wI stands as it was said in 2018.
    expect(ranked).toMatchObject([
      {
        mark: 'SLM.wI',
        urgency: 2,
        conditionClass: 3,
        inWorstClass: 1,
        bulgeMm: null,
        panels: 4,
        unseen: 0,
        lastSurvey: '2024-05',
        nextInspection: '2999',
      },
      { mark: 'SLM.nII', urgency: 2, conditionClass: 2, inWorstClass: 1, panels: 4, unseen: 2 },
    ]);
    // (0.4 + 0.2) / 2 and (0.25 + 0.75) / 2
    expect(ranked.map(({ extentRatio }) => extentRatio.toFixed(3))).toEqual(['0.300', '0.500']);
    expect(apart).toMatchObject([
      { mark: 'SLM.nIII', panels: 4, notInspected: 0, neverSaid: 4, lastSurvey: null },
      { mark: 'SLM.sII', panels: 4, notInspected: 1, notAccessible: 0, neverSaid: 3 },
    ]);
  });

  it('gives the list as a table (RFC 4180)', async () => {
    const table = await archive.keeper.get(`/v1/sites/${siteId}/ranking.csv`);
    expect(table.status).toBe(200);
    expect(table.headers['content-type']).toBe('text/csv; charset=utf-8');
    expect(table.headers['content-disposition']).toBe('attachment; filename="slm-windows.csv"');
    expect(table.text.split('\r\n').slice(1)).toEqual([
      '1,SLM.wI,West window,2,3,1,4,0,30,not read,2024-05,2999',
      '2,SLM.nII,"Window, nII",2,2,1,4,2,50,not read,2023,2024-02',
      '',
      'not seen,SLM.nIII,"Window, nIII",not said,4 never said,,4,4,not known,,,',
      'not seen,SLM.sII,"Window, sII",not said,"1 not inspected, 3 never said",,4,4,not known,,2023,',
      '',
    ]);
  });

  it('says when to look again as the latest survey of each window does', async () => {
    const { items } = await answer<{ items: object[] }>(
      archive.keeper.get(`/v1/sites/${siteId}/inspections`),
      200,
    );
    expect(items).toMatchObject([
      { mark: 'SLM.nII', nextInspection: '2024-02', day: '2024-02-01', isDue: true },
      { mark: 'SLM.wI', nextInspection: '2999', day: '2999-01-01', isDue: false, surveyId: second },
    ]);
    const calendar = await archive.keeper.get(`/v1/sites/${siteId}/inspections.ics`);
    expect(calendar.status).toBe(200);
    expect(calendar.headers['content-type']).toBe('text/calendar; charset=utf-8');
    // RFC 5545: CRLF line ends (3.1), a comma in a text is escaped (3.3.11), a day without a time (3.3.4)
    const lines = calendar.text.split('\r\n');
    expect(lines[0]).toBe('BEGIN:VCALENDAR');
    expect(lines.filter((line) => /^(DTSTART|SUMMARY|DESCRIPTION)/.test(line))).toEqual([
      'DTSTART;VALUE=DATE:20240201',
      'SUMMARY:Inspect SLM.nII\\, Window\\, nII',
      'DESCRIPTION:Said in the survey as 2024-02.',
      'DTSTART;VALUE=DATE:29990101',
      'SUMMARY:Inspect SLM.wI\\, West window',
      'DESCRIPTION:Said in the survey as 2999.',
    ]);
    expect(lines.filter((line) => line.startsWith('UID:'))).toEqual([
      expect.any(String),
      expect.stringMatching(new RegExp(`^UID:${second}@`)),
    ]);
  });

  it('says what changed since the survey before, panel by panel', async () => {
    const changes = (surveyId: string, since = '') =>
      archive.keeper.get(`/v1/surveys/${surveyId}/changes${since}`);
    expect(await answer(changes(second), 200)).toMatchObject({
      since: { surveyId: first, happened: '2018-05' },
      panels: [
        {
          mark: '1a',
          change: 'worse',
          before: { conditionClass: 1 },
          after: { conditionClass: 3 },
        },
        { mark: '1b', change: 'better' },
        { mark: '2a', change: 'seen-first', before: { conditionClass: 'not-accessible' } },
        { mark: '2b', change: 'only-before', after: null },
      ],
    });
    expect(await answer(changes(first), 200)).toMatchObject({ since: null });
    expect(await answer(changes(first, `?since=${second}`), 200)).toMatchObject({
      since: { surveyId: second },
      panels: [
        { change: 'better' },
        { change: 'worse' },
        { change: 'no-longer-seen' },
        { change: 'seen-first' },
      ],
    });
    const other = await visit('nIII', '2020', null, [['1a', 'not-inspected']]);
    await answer(changes(second, `?since=${other}`), 404);
    await answer(changes('00000000-0000-7000-8000-000000000001'), 404);
    await answer(changes(second, '?since=yesterday'), 400);
    await answer(
      archive.keeper.post(`/v1/surveys/${other}/withdraw`, { reason: 'of another' }),
      200,
    );
  });

  it('shows no list to who has no part in the building', async () => {
    const stranger = await archive.person('stranger', null);
    const nowhere = '00000000-0000-7000-8000-000000000001';
    for (const list of ['ranking', 'ranking.csv', 'inspections', 'inspections.ics']) {
      await answer(archive.anyone.get(`/v1/sites/${siteId}/${list}`), 401);
      await answer(archive.keeper.get(`/v1/sites/${nowhere}/${list}`), 404);
      expect((await stranger.get(`/v1/sites/${siteId}/${list}`)).status).toBeGreaterThanOrEqual(
        403,
      );
    }
    expect((await stranger.get(`/v1/surveys/${second}/changes`)).status).toBeGreaterThanOrEqual(
      403,
    );
  });
});

/** Puts the two pieces of 200 × 300 mm on a panel: leads of 6 mm along the centre lines. */
async function draw(panelId: string): Promise<void> {
  await answer(
    archive.keeper.post(
      `/v1/panels/${panelId}/nets`,
      { sketch: twoPieces(), face: 'inside', note: 'two pieces' },
      { 'If-Match': '"0"' },
    ),
    201,
  );
}

it('proposes reasons out of the findings, by number, length, area and pieces', async () => {
  const panelId = windows['nIII']!.panels['2a']!;
  await draw(panelId);
  const findings: [string, string, (readonly [number, number])[]][] = [
    [
      'glass.crack.simple',
      'line',
      [
        [50, 50],
        [150, 50],
      ],
    ],
    [
      'glass.crack.simple',
      'line',
      [
        [40, 100],
        [40, 200],
      ],
    ],
    [
      'paint.loss',
      'area',
      [
        [100, 100],
        [120, 100],
        [120, 120],
        [100, 120],
      ],
    ],
  ];
  for (const [term, kind, xyMm] of findings)
    await answer(
      archive.keeper.post(`/v1/panels/${panelId}/findings`, {
        term,
        face: 'inside',
        happened: '2026-03-12',
        geometry: { kind, xyMm },
      }),
      201,
    );
  const { items } = await answer<{
    items: {
      panelId: string;
      extentRatio: number | null;
      reasons: { text: string; shareRatio: number | null }[];
    }[];
  }>(archive.keeper.get(`/v1/windows/${windows['nIII']!.windowId}/proposed-reasons`), 200);
  const proposed = items.find((one) => one.panelId === panelId)!;
  // Cracks of 100 + 100 mm, a loss of 20 × 20 mm, all in the left one of two pieces.
  expect(proposed).toMatchObject({
    extentRatio: 0.5,
    piecesTouched: 1,
    pieces: 2,
    reasons: [
      { term: 'glass.crack.simple', count: 2, lengthMm: 200, areaMm2: null, pieces: 1 },
      { term: 'paint.loss', count: 1, lengthMm: null, areaMm2: 400, pieces: 1 },
    ],
  });
  expect(proposed.reasons[0]!.text).toMatch(/^2 × .*, 200 mm, in 1 of 2 pieces \(50 %\)$/);
  // Of each piece 194 × 294 mm are seen between leads of 6 mm.
  expect(proposed.reasons[1]!.shareRatio).toBeCloseTo(400 / (2 * 194 * 294), 5);
  expect(items.find((one) => one.panelId !== panelId)).toMatchObject({
    extentRatio: null,
    reasons: [],
  });
});

interface Weight {
  kg: number;
  source: string;
  weight: { glassKg: number; leadKg: number; netKg: number; grossKg: number } | null;
  estimate: { lowKg: number; highKg: number } | null;
}
const weightOf = (panelId: string) =>
  answer<Weight>(archive.keeper.get(`/v1/panels/${panelId}/weight`), 200);

it('estimates what is not drawn by its area, panel, light and window', async () => {
  const { windowId, panels } = windows['sII']!;
  // 0.48 m × 0.60 m = 0.288 m² of 11 kg/m², from 8 to 16 (common practice, no source)
  const told = await weightOf(panels['1a']!);
  expect(told).toMatchObject({
    source: 'estimated',
    weight: null,
    lifting: { people: 2, needsGear: false },
  });
  expect([told.kg, told.estimate!.lowKg, told.estimate!.highKg].map((kg) => kg.toFixed(3))).toEqual(
    ['3.168', '2.304', '4.608'],
  );
  // α L ΔT over 600 mm and 40 K: 29 and 9 millionths a kelvin (handbook values, from memory)
  const { heat } = told as Weight & { heat: Record<string, number> };
  expect(
    [heat['leadMm'], heat['glassMm'], heat['differenceMm']].map((mm) => mm!.toFixed(3)),
  ).toEqual(['0.696', '0.216', '0.480']);
  const all = await answer<{
    lights: { light: string; kg: number; panels: number }[];
    kg: number;
    estimatedPanels: number;
    items: object[];
  }>(archive.keeper.get(`/v1/windows/${windowId}/weights`), 200);
  expect(all.estimatedPanels).toBe(4);
  expect(all.kg).toBeCloseTo(12.672, 9);
  expect(all.lights.map(({ light, kg, panels }) => [light, kg.toFixed(3), panels])).toEqual([
    ['a', '6.336', 2],
    ['b', '6.336', 2],
  ]);
});

it('reckons a drawn panel by what was gauged, and takes a weighing before any sum', async () => {
  const panelId = windows['nIII']!.panels['2b']!;
  const materials = `/v1/panels/${panelId}/materials`;
  await draw(panelId);
  expect(await answer(archive.keeper.get(materials), 200)).toEqual({ materials: null });
  const usual = await weightOf(panelId);
  expect(usual.source).toBe('computed');
  // Two lights of 200 × 300 × 3 mm at 2.5 g/cm³ weigh 0.9 kg; hearts and their play take less than 3 in 100.
  expect(usual.weight!.glassKg).toBeLessThan(0.9);
  expect(usual.weight!.glassKg).toBeGreaterThan(0.9 * 0.97);
  const { version } = await answer<{ version: number }>(
    archive.keeper.put(materials, { glass: { layersMm: [4, 2] }, happened: '2026-05-04' }),
    200,
  );
  const plated = await weightOf(panelId);
  // twice as thick, twice as heavy; the lead stays
  expect(plated.weight!.glassKg).toBeCloseTo(2 * usual.weight!.glassKg, 9);
  expect(plated.weight!.leadKg).toBe(usual.weight!.leadKg);
  await answer(
    archive.keeper.put(materials, { weighedKg: 2.35 }, { 'If-Match': `"${version}"` }),
    200,
  );
  expect(await weightOf(panelId)).toMatchObject({ kg: 2.35, source: 'weighed' });
  await answer(
    archive.keeper.put(materials, { weighedKg: 9 }, { 'If-Match': `"${version}"` }),
    412,
  );
  expect(await answer(archive.keeper.get(materials), 200)).toMatchObject({
    materials: { panelId, said: { weighedKg: 2.35 }, happened: null },
  });
});

it('a panel on a scale weighs what the scale says, drawn or not', async () => {
  const { windowId, panels } = windows['nII']!;
  await answer(
    archive.keeper.put(`/v1/panels/${panels['2a']!}/materials`, { weighedKg: 26.5 }),
    200,
  );
  expect(await weightOf(panels['2a']!)).toMatchObject({
    kg: 26.5,
    source: 'weighed',
    weight: null,
    lifting: { people: 4, needsGear: false },
  });
  // three panels of 3.168 kg stay estimates
  expect(await answer(archive.keeper.get(`/v1/windows/${windowId}/weights`), 200)).toMatchObject({
    estimatedPanels: 3,
    kg: expect.closeTo(26.5 + 3 * 3.168, 9) as number,
  });
});

it.each([
  ['a thickness of nothing', { glass: { layersMm: [0] } }, 400],
  ['more cement than a third', { cementRatio: 0.5 }, 400],
  ['a word it does not know', { colour: 'red' }, 400],
  ['a day that is none', { weighedKg: 7, happened: 'lately' }, 422],
])('refuses %s and keeps nothing', async (_what, body, status) => {
  const materials = `/v1/panels/${windows['sII']!.panels['1b']!}/materials`;
  await answer(archive.keeper.put(materials, body), status);
  expect(await answer(archive.keeper.get(materials), 200)).toEqual({ materials: null });
});

it('a reader reads weights and says none', async () => {
  const reader = await archive.person('weigher', 'reader', siteId);
  const at = `/v1/panels/${windows['sII']!.panels['1a']!}`;
  await answer(reader.get(`${at}/weight`), 200);
  await answer(reader.put(`${at}/materials`, { weighedKg: 7 }), 403);
  await answer(archive.keeper.get('/v1/panels/00000000-0000-7000-8000-000000000001/weight'), 404);
});
