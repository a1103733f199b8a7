/**
 * A window on another day, and as it was known at another time. What is expected was written down by
 * hand from the story below, entry by entry; no expected value comes from the code under test. How a
 * date is read: ISO 8601-2:2019 (EDTF), levels 0 and 1.
 */
import { type ApiArchive, answer, startApiArchive, twoPieces } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
/** places of the entries of the story, by a name */
const at: Record<string, number> = {};

interface Written {
  version: number;
  entry: { seq: number };
}
interface Panel {
  mark: string;
  workState: string;
  findings: number;
  terms: Record<string, number>;
  condition: { conditionClass: unknown; reason: string; happened: string } | null;
  lastWork: { operation: string; happened: string | null } | null;
  doubts: number | null;
  netRevision: number | null;
  signedRevision: number | null;
  glass: Record<string, number>;
  pieces: number;
}
interface Answer {
  panels: Panel[];
  asOf: { until: string | null; knownEntry: number | null; inArchive: boolean };
}

const crack = (xyMm: number[][]) => ({
  term: 'glass.crack.simple',
  geometry: { kind: 'line', xyMm },
  face: 'inside',
});
const line = [
  [20, 20],
  [20, 120],
];

async function said<T extends Written>(name: string, path: string, body: object): Promise<T> {
  const told = await answer<T>(archive.keeper.post(path, body), 201);
  at[name] = told.entry.seq;
  return told;
}

/** State of work on a panel, on top of what stands there. */
async function moved(name: string, mark: string, workState: string, happened?: string) {
  const path = `/v1/panels/${site.panels[mark]!}`;
  const { version } = await answer<{ version: number }>(archive.keeper.get(path), 200);
  const told = await answer<Written>(
    archive.keeper.put(
      path,
      { workState, ...(happened ? { happened } : {}) },
      { 'If-Match': `"${version}"` },
    ),
    200,
  );
  at[name] = told.entry.seq;
}

async function then(query = ''): Promise<Answer> {
  return answer<Answer>(archive.keeper.get(`/v1/windows/${site.windowId}${query}`), 200);
}

async function panelThen(mark: string, query = ''): Promise<Panel> {
  const { panels } = await then(query);
  return panels.find((panel) => panel.mark === mark)!;
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  const panel = (mark: string) => `/v1/panels/${site.panels[mark]!}`;
  const work = `/v1/sites/${site.siteId}/interventions`;
  await answer(archive.keeper.post(`${panel('1a')}/pieces`, { ringMm: [...line, [90, 120]] }), 201);
  // Recorded in this order, all of it today; happened in another.
  await moved('out', '1a', 'out', '2024-03');
  await moved('bench', '1a', 'on-bench', '2024-09-10');
  await said('today', `${panel('1a')}/conditions`, {
    conditionClass: 1,
    reason: 'sound after the works',
    happened: '2024-06-01',
  });
  await said('survey', `${panel('1a')}/conditions`, {
    conditionClass: 3,
    reason: 'two leads are broken',
    happened: '2019',
  });
  const slip = await said<Written & { conditionId: string }>('slip', `${panel('1b')}/conditions`, {
    conditionClass: 2,
    reason: 'meant for another panel',
    happened: '2019-05',
  });
  await said('unreached', `${panel('2a')}/conditions`, {
    conditionClass: 'not-accessible',
    reason: 'no scaffold',
    happened: '2019-05',
  });
  await said('relead', work, { subjects: ['wI'], operation: 'relead.whole', happened: '1931~' });
  await said('bond', work, { subjects: ['wI.1a.1'], operation: 'bond.epoxy', happened: '1998-05' });
  await said('decade', work, { subjects: ['wI.2b'], operation: 'relead.whole', happened: '198X' });
  const found = await said<Written & { findingId: string }>('crack', `${panel('1b')}/findings`, {
    ...crack(line),
    happened: '2019-05-14',
  });
  const wrong = await said<Written & { findingId: string }>('wrong', `${panel('1b')}/findings`, {
    ...crack(line),
    happened: '2020',
  });
  await said('undated', `${panel('1b')}/findings`, crack(line));
  at['before changes'] = at['undated']!;
  // Changes of what was said.
  const revised = await answer<Written>(
    archive.keeper.put(
      `/v1/findings/${found.findingId}`,
      {
        ...crack(line),
        term: 'paint.loss',
        geometry: { kind: 'area', xyMm: [...line, [60, 60]] },
        happened: '2018',
      },
      { 'If-Match': `"${found.version}"` },
    ),
    200,
  );
  at['revised'] = revised.entry.seq;
  await answer(
    archive.keeper.post(`/v1/findings/${wrong.findingId}/withdraw`, { reason: 'seen twice' }),
    200,
  );
  await answer(
    archive.keeper.post(`/v1/conditions/${slip.conditionId}/withdraw`, { reason: 'wrong panel' }),
    200,
  );
  const drawn = await answer<Written>(
    archive.keeper.post(
      `${panel('2b')}/nets`,
      { sketch: twoPieces(), face: 'inside', note: 'by hand' },
      { 'If-Match': '"0"' },
    ),
    201,
  );
  at['drawn'] = drawn.entry.seq;
  const signed = await answer<Written>(archive.keeper.post(`${panel('2b')}/nets/1/sign`), 200);
  at['signed'] = signed.entry.seq;
  const { items } = await answer<{ items: { pieceId: string; mark: string; version: number }[] }>(
    archive.keeper.get(`${panel('2b')}/pieces`),
    200,
  );
  const [piece] = items;
  const told = await answer<Written>(
    archive.keeper.put(
      `/v1/pieces/${piece!.pieceId}`,
      { glass: 'pot metal' },
      { 'If-Match': `"${piece!.version}"` },
    ),
    200,
  );
  at['glass'] = told.entry.seq;
}, 60_000);
afterAll(() => archive.close());

describe('a window by a day', () => {
  it.each([
    // the month is over on its last day, not before
    ['2024-03-30', 'in-place'],
    ['2024-03-31', 'out'],
    ['2024-03', 'out'],
    ['2024-09-09', 'out'],
    ['2024-09-10', 'on-bench'],
  ])('shows by %s that 1a was %s', async (day, state) => {
    expect((await panelThen('1a', `?at=${day}`)).workState).toBe(state);
  });

  it('lets the later day stand, not the later entry', async () => {
    const classOn = async (query: string) =>
      (await panelThen('1a', query)).condition?.conditionClass ?? null;
    expect(await classOn('')).toBe(1);
    expect(await classOn('?at=2024-05-31')).toBe(3);
    expect(await classOn('?at=2019-12-31')).toBe(3);
    // a year is over on its last day
    expect(await classOn('?at=2019-12-30')).toBeNull();
  });

  it('keeps "not accessible" as an answer of its own, and no answer as none', async () => {
    const { panels } = await then('?at=2021');
    expect(panels.map(({ mark, condition }) => [mark, condition?.conditionClass ?? null])).toEqual([
      ['1a', 3],
      ['1b', null],
      ['2a', 'not-accessible'],
      ['2b', null],
    ]);
  });

  it('names the last work on each panel, whole windows and uncertain decades among it', async () => {
    const lastBy = async (query: string) =>
      (await then(query)).panels.map(({ lastWork }) => lastWork?.happened ?? null);
    expect(await lastBy('?at=1931-12-30')).toEqual([null, null, null, null]);
    expect(await lastBy('?at=1931')).toEqual(['1931~', '1931~', '1931~', '1931~']);
    expect(await lastBy('?at=1989-12-30')).toEqual(['1931~', '1931~', '1931~', '1931~']);
    expect(await lastBy('?at=1989-12-31')).toEqual(['1931~', '1931~', '1931~', '198X']);
    expect(await lastBy('')).toEqual(['1998-05', '1931~', '1931~', '198X']);
  });

  it('counts findings that were there, by term; one without a date from its entry on', async () => {
    expect((await panelThen('1b', '?at=2017')).terms).toEqual({});
    expect((await panelThen('1b', '?at=2018')).terms).toEqual({ 'paint.loss': 1 });
    expect((await panelThen('1b')).terms).toEqual({ 'paint.loss': 1, 'glass.crack.simple': 1 });
  });
});

describe('a window as it was known', () => {
  it('knows what was said before it was corrected or withdrawn', async () => {
    const before = `known=${at['before changes']}`;
    expect((await panelThen('1b', `?${before}`)).terms).toEqual({ 'glass.crack.simple': 3 });
    // the two dates filter apart from one another
    expect((await panelThen('1b', `?${before}&at=2018`)).terms).toEqual({});
    expect((await panelThen('1b', `?${before}&at=2019`)).terms).toEqual({
      'glass.crack.simple': 1,
    });
    expect((await panelThen('1b', `?${before}`)).condition?.conditionClass).toBe(2);
    expect((await panelThen('1b')).condition).toBeNull();
    const revised = `known=${at['revised']}`;
    expect((await panelThen('1b', `?${revised}`)).terms).toEqual({
      'paint.loss': 1,
      'glass.crack.simple': 2,
    });
  });

  it('does not know what was recorded later, however long ago it happened', async () => {
    const known = `?known=${at['today']}`;
    expect((await panelThen('1a', known)).condition?.conditionClass).toBe(1);
    expect((await panelThen('1a', `${known}&at=2020`)).condition).toBeNull();
    expect(
      (await panelThen('1a', `?known=${at['survey']}&at=2020`)).condition?.conditionClass,
    ).toBe(3);
    expect((await panelThen('1a', `?known=${at['survey']}`)).lastWork).toBeNull();
    expect((await panelThen('1a', `?known=${at['out']}`)).workState).toBe('out');
    expect((await panelThen('1a', `?known=${at['bench']}&at=2024-04-01`)).workState).toBe('out');
  });

  it('tells drawn, signed and described glass apart', async () => {
    const seen = async (name: string) => {
      const { netRevision, signedRevision, doubts, pieces, glass } = await panelThen(
        '2b',
        `?known=${at[name]}`,
      );
      return { netRevision, signedRevision, doubts, pieces, glass };
    };
    const none = { netRevision: null, signedRevision: null, doubts: null, pieces: 0, glass: {} };
    expect(await seen('revised')).toEqual(none);
    expect(await seen('drawn')).toEqual({ ...none, netRevision: 1, doubts: 0 });
    const signed = { netRevision: 1, signedRevision: 1, doubts: 0, pieces: 2 };
    expect(await seen('signed')).toEqual({ ...signed, glass: {} });
    expect(await seen('glass')).toEqual({ ...signed, glass: { 'pot metal': 1 } });
  });

  it('takes a moment of the clock as well as an entry', async () => {
    const long = await then('?known=2001-01-01T00:00:00Z');
    expect(long).toMatchObject({ panels: [], asOf: { knownEntry: -1, inArchive: false } });
    const now = await then(`?known=${new Date(Date.now() + 60_000).toISOString()}`);
    const { panels } = await then();
    expect(now.panels).toEqual(panels);
    expect(now.asOf.knownEntry).toBe(at['glass']);
  });

  it('says what it cannot read', async () => {
    for (const query of ['?at=soon', '?at=2019-13-01', '?at=1990/..', '?known=yesterday']) {
      const refused = await answer<{ type: string; detail: string }>(
        archive.keeper.get(`/v1/windows/${site.windowId}${query}`),
        422,
      );
      expect(refused.type).toBe('/problems/date-invalid');
    }
  });

  it('equals the present at the end of both times', async () => {
    const { panels } = await then();
    expect((await then(`?at=9999&known=${at['glass']}`)).panels).toEqual(panels);
    expect((await then('?at=9999')).panels).toEqual(panels);
  });
});

describe('what happened', () => {
  interface Happening {
    kind: string;
    label: string;
    happened: string | null;
    first: string | null;
    last: string | null;
    count: number;
    marks: string[];
  }
  const told = async (query = ''): Promise<Happening[]> =>
    (
      await answer<{ items: Happening[] }>(
        archive.keeper.get(`/v1/sites/${site.siteId}/happenings${query}`),
        200,
      )
    ).items;

  it('stands in the order of its own dates, uncertain ones as spans', async () => {
    const dated = (await told()).filter(({ happened }) => happened !== null);
    expect(
      dated.map(({ kind, happened, first, last, count, marks }) => [
        kind,
        happened,
        first,
        last,
        count,
        marks,
      ]),
    ).toEqual([
      ['work', '1931~', '1931-01-01', '1931-12-31', 1, ['SLM.wI']],
      ['work', '198X', '1980-01-01', '1989-12-31', 1, ['SLM.wI.2b']],
      ['work', '1998-05', '1998-05-01', '1998-05-31', 1, ['SLM.wI.1a.1']],
      ['finding', '2018', '2018-01-01', '2018-12-31', 1, ['SLM.wI.1b']],
      ['survey', '2019-05', '2019-05-01', '2019-05-31', 1, ['SLM.wI.2a']],
      ['survey', '2019', '2019-01-01', '2019-12-31', 1, ['SLM.wI.1a']],
      ['moved', '2024-03', '2024-03-01', '2024-03-31', 1, ['SLM.wI.1a']],
      ['survey', '2024-06-01', '2024-06-01', '2024-06-01', 1, ['SLM.wI.1a']],
      ['moved', '2024-09-10', '2024-09-10', '2024-09-10', 1, ['SLM.wI.1a']],
    ]);
  });

  it('is what was known of it then', async () => {
    const kinds = (await told(`?window=wI&known=${at['bench']}`)).map(
      ({ kind, label }) => `${kind}: ${label}`,
    );
    expect(kinds).toEqual(['moved: taken out', 'moved: on the bench']);
    expect(await told('?window=nII')).toEqual([]);
  });

  it('lists the pieces of which something was said', async () => {
    const pieces = async (query = '') =>
      (
        await answer<{ items: object[] }>(
          archive.keeper.get(`/v1/windows/${site.windowId}/pieces${query}`),
          200,
        )
      ).items;
    expect(await pieces('?at=1990')).toEqual([
      { mark: '2b.1', terms: {}, glass: 'pot metal', lastWork: null },
    ]);
    expect(await pieces(`?known=${at['signed']}`)).toEqual([
      {
        mark: '1a.1',
        terms: {},
        glass: null,
        lastWork: { operation: 'bond.epoxy', happened: '1998-05' },
      },
    ]);
  });

  it('counts leads by their profile, and says how many have none', async () => {
    const { items } = await answer<{ items: object[] }>(
      archive.keeper.get(`/v1/windows/${site.windowId}/leads`),
      200,
    );
    expect(items).toEqual([{ mark: '2b', leads: 7, profiles: {} }]);
  });
});
