import {
  type ApiArchive,
  answer,
  startApiArchive,
  TWO_LIGHTS,
  twoPieces,
} from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

const panel = (mark: string) => `/v1/panels/${site.panels[mark]!}`;
const square = (x: number, y: number, side: number) => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
];

interface Piece {
  pieceId: string;
  mark: string;
  provisional: boolean;
  shows: string | null;
  retired: boolean;
  carriedTo: string | null;
  version: number;
}

describe('a window', () => {
  it('has the panels of its drawing, in the order of their marks', async () => {
    const { panels } = await answer<{ panels: { mark: string; ringMm: number[] }[] }>(
      archive.keeper.get(`/v1/windows/${site.windowId}`),
      200,
    );
    expect(panels.map(({ mark }) => mark)).toEqual(['1a', '1b', '2a', '2b']);
    // Row 1 is the lowest: y down, 600 mm of 1200.
    const ys = panels[0]!.ringMm.filter((_, i) => i % 2 === 1);
    expect([Math.min(...ys), Math.max(...ys)]).toEqual([600, 1200]);
  });

  it('does not lose panels with findings unseen', async () => {
    const drawn = await answer<{ windowId: string; version: number }>(
      archive.keeper.post(`/v1/sites/${site.siteId}/windows`, {
        mark: 'nII',
        title: 'North window',
        drawing: TWO_LIGHTS,
      }),
      201,
    );
    const window = `/v1/windows/${drawn.windowId}`;
    const { panels } = await answer<{ panels: { mark: string; panelId: string }[] }>(
      archive.keeper.get(window),
      200,
    );
    const lost = panels.find(({ mark }) => mark === '2b')!;
    const { findingId } = await answer<{ findingId: string }>(
      archive.keeper.post(`/v1/panels/${lost.panelId}/findings`, {
        term: 'glass.crack.simple',
        geometry: {
          kind: 'line',
          xyMm: [
            [1, 1],
            [9, 9],
          ],
        },
        face: 'inside',
      }),
      201,
    );
    const drawing = { ...TWO_LIGHTS, lights: TWO_LIGHTS.lights.slice(0, 1) };
    const ifMatch = { 'If-Match': `"${drawn.version}"` };
    const refused = await answer<object>(
      archive.keeper.put(`${window}/drawing`, { drawing }, ifMatch),
      409,
    );
    expect(refused).toMatchObject({ type: '/problems/panel-holds-findings', panels: ['2b'] });
    await archive.keeper.put(`${window}/drawing`, { drawing, retire: true }, ifMatch).expect(200);
    expect(
      await answer<object>(archive.keeper.get(`/v1/panels/${lost.panelId}`), 200),
    ).toMatchObject({
      retired: true,
    });
    expect(
      await answer<object>(archive.keeper.get(`/v1/findings/${findingId}`), 200),
    ).toMatchObject({
      state: 'recorded',
    });
    // Drawn again, it is the same panel.
    const again = await answer<{ version: number }>(archive.keeper.get(window), 200);
    await archive.keeper
      .put(`${window}/drawing`, { drawing: TWO_LIGHTS }, { 'If-Match': `"${again.version}"` })
      .expect(200);
    const back = await answer<{ panels: { mark: string; panelId: string; findings: number }[] }>(
      archive.keeper.get(window),
      200,
    );
    expect(back.panels.find(({ mark }) => mark === '2b')).toMatchObject({
      panelId: lost.panelId,
      findings: 1,
    });
  });

  it('is found by its mark in Arabic numbers and by an earlier number', async () => {
    await archive.keeper
      .post(`/v1/sites/${site.siteId}/aliases`, {
        mark: 'w1',
        scheme: 'fr',
        text: 'Baie 0, fenêtre',
        source: 'survey 1978',
      })
      .expect(201);
    for (const text of ['SLM.w1', 'SLM.wI', 'baie 0 fenêtre']) {
      const place = await answer<object>(
        archive.keeper.get(`/v1/marks/${encodeURIComponent(text)}`),
        200,
      );
      expect(place).toMatchObject({ kind: 'window', fullMark: 'SLM.wI', windowId: site.windowId });
    }
    await archive.keeper.get('/v1/marks/SLM.wI.7z').expect(404);
    await archive.keeper.get('/v1/marks/nothing').expect(404);
  });
});

describe('pieces', () => {
  it('are provisional until a drawing is signed, and are carried over by a person', async () => {
    const traced = await answer<Piece>(
      archive.keeper.post(`${panel('2a')}/pieces`, {
        ringMm: square(20, 20, 150),
        shows: 'hand of the ferryman',
      }),
      201,
    );
    expect(traced).toMatchObject({ mark: '1', provisional: true });
    const other = await answer<Piece>(
      archive.keeper.post(`${panel('2a')}/pieces`, { ringMm: square(1000, 1000, 40) }),
      201,
    );
    expect(other.mark).toBe('2');
    const twice = archive.keeper.post(`${panel('2a')}/pieces`, {
      number: 2,
      ringMm: square(0, 0, 9),
    });
    expect(await answer<object>(twice, 409)).toMatchObject({ type: '/problems/piece-exists' });
    const finding = await answer<{ findingId: string; inPanel: string; netRevision: null }>(
      archive.keeper.post(`${panel('2a')}/findings`, {
        term: 'paint.loss',
        geometry: { kind: 'area', xyMm: square(50, 50, 30) },
        face: 'inside',
      }),
      201,
    );
    expect(finding).toMatchObject({ inPanel: '1', netRevision: null });
    // 900 mm² of 150 × 150 mm²
    expect(finding).toMatchObject({ measure: { areaMm2: 900, shareRatio: 0.04 } });

    await archive.keeper
      .post(`${panel('2a')}/nets`, { sketch: twoPieces(), note: 'by hand' }, { 'If-Match': '"0"' })
      .expect(201);
    await archive.keeper.get(`${panel('2a')}/carry-over`).expect(409);
    await archive.keeper.post(`${panel('2a')}/nets/1/sign`).expect(200);
    const { matches } = await answer<{
      matches: {
        provisionalPieceId: string;
        pieceId: string | null;
        pieceMark: string | null;
        overlapRatio: number;
      }[];
    }>(archive.keeper.get(`${panel('2a')}/carry-over`), 200);
    const [first, second] = matches;
    // 150 × 150 inside 200 × 300: 22 500 of 60 000
    expect(first).toMatchObject({
      provisionalPieceId: traced.pieceId,
      pieceMark: '1',
      overlapRatio: 0.375,
    });
    expect(second).toMatchObject({ pieceId: null, overlapRatio: 0 });

    const reasonless = archive.keeper.post(`${panel('2a')}/carry-over`, {
      matches: [{ provisionalPieceId: other.pieceId, pieceId: null }],
    });
    expect(await answer<object>(reasonless, 400)).toMatchObject({ field: 'matches[0].reason' });
    await archive.keeper
      .post(`${panel('2a')}/carry-over`, {
        matches: [
          { provisionalPieceId: traced.pieceId, pieceId: first!.pieceId },
          { provisionalPieceId: other.pieceId, pieceId: null, reason: 'a reflection, no piece' },
        ],
      })
      .expect(200);
    const { items } = await answer<{ items: Piece[] }>(
      archive.keeper.get(`${panel('2a')}/pieces`),
      200,
    );
    expect(items.find((piece) => piece.pieceId === first!.pieceId)).toMatchObject({
      shows: 'hand of the ferryman',
    });
    expect(items.filter((piece) => piece.provisional)).toMatchObject([
      { retired: true, carriedTo: first!.pieceId },
      { retired: true, carriedTo: null },
    ]);
    expect(
      await answer<object>(archive.keeper.get(`/v1/findings/${finding.findingId}`), 200),
    ).toMatchObject({ inPanel: '1', netRevision: 1 });
    const again = archive.keeper.post(`${panel('2a')}/carry-over`, {
      matches: [{ provisionalPieceId: traced.pieceId, pieceId: first!.pieceId }],
    });
    expect(await answer<object>(again, 409)).toMatchObject({ type: '/problems/piece-carried' });
  });

  it('keep their numbers and what is said of them when the drawing is revised and signed again', async () => {
    const before = await answer<{ items: Piece[] }>(
      archive.keeper.get(`${panel('2a')}/pieces`),
      200,
    );
    const one = before.items.find((piece) => piece.mark === '1' && !piece.provisional)!;
    const sketch = twoPieces();
    const moved = {
      ...sketch,
      nodes: sketch.nodes.map(({ xyMm: [x, y] }) => ({ xyMm: [x + 1, y] })),
    };
    const leads = sketch.leads.map((lead) => ({
      ...lead,
      lineMm: lead.lineMm.map(([x, y]) => [x + 1, y]),
    }));
    await archive.keeper
      .post(
        `${panel('2a')}/nets`,
        { sketch: { ...moved, leads }, note: 'one mm over' },
        { 'If-Match': '"1"' },
      )
      .expect(201);
    await archive.keeper.post(`${panel('2a')}/nets/2/sign`).expect(200);
    const after = await answer<{ items: Piece[] }>(
      archive.keeper.get(`${panel('2a')}/pieces`),
      200,
    );
    expect(after.items.find((piece) => piece.pieceId === one.pieceId)).toMatchObject({
      mark: '1',
      shows: 'hand of the ferryman',
      retired: false,
    });
  });

  it('needs the last revision to make the next one', async () => {
    const stale = archive.keeper.post(
      `${panel('2a')}/nets`,
      { sketch: twoPieces(), note: 'from an old one' },
      { 'If-Match': '"1"' },
    );
    expect(await answer<object>(stale, 412)).toMatchObject({ currentVersion: 2 });
  });
});

describe('rubbings', () => {
  it('may say why none was taken; then there is nothing to read', async () => {
    const { rubbingId } = await answer<{ rubbingId: string }>(
      archive.keeper.post(`${panel('1b')}/rubbings`, {
        conditions: { notRubbedBecause: 'the paint lifts' },
      }),
      201,
    );
    const asked = archive.keeper.post(`/v1/rubbings/${rubbingId}/extractions`, {
      pictures: [
        {
          mediaId: '018f3a5e-7b1c-7c3d-8e4f-000000000000',
          control: { kind: 'scale_bar', length_mm: 100 },
          taps: [
            [0, 0],
            [99, 0],
          ],
        },
      ],
    });
    expect(await answer<object>(asked, 422)).toMatchObject({ type: '/problems/rubbing-not-taken' });
  });

  it('want as many taps as marks', async () => {
    const { rubbingId } = await answer<{ rubbingId: string }>(
      archive.keeper.post(`${panel('1b')}/rubbings`, {
        conditions: { paintTested: true, looseAreas: 'none', panelSupported: true },
      }),
      201,
    );
    const asked = archive.keeper.post(`/v1/rubbings/${rubbingId}/extractions`, {
      pictures: [
        {
          mediaId: '018f3a5e-7b1c-7c3d-8e4f-000000000000',
          control: { kind: 'diagonals', AC_mm: 700, BD_mm: 701 },
          taps: [
            [0, 0],
            [99, 0],
          ],
        },
      ],
    });
    expect(await answer<object>(asked, 422)).toMatchObject({
      type: '/problems/control-unusable',
      field: 'pictures[0].taps',
    });
  });
});

describe('a dossier that is not written yet', () => {
  it('is named as such', async () => {
    const { dossierId } = await answer<{ dossierId: string }>(
      archive.keeper.post(`/v1/sites/${site.siteId}/dossiers`, {
        subject: 'SLM',
        kind: 'handed-out',
      }),
      202,
    );
    const file = archive.keeper.get(`/v1/dossiers/${dossierId}/file`);
    expect(await answer<object>(file, 409)).toMatchObject({ type: '/problems/dossier-not-ready' });
  });
});

describe('search', () => {
  it('finds words without accents, beginnings and other forms, newest first', async () => {
    const note = async (text: string) =>
      archive.keeper
        .post(`${panel('1a')}/findings`, {
          term: 'glass.crack.simple',
          geometry: {
            kind: 'line',
            xyMm: [
              [1, 1],
              [9, 9],
            ],
          },
          face: 'inside',
          happened: '2025-06',
          note: text,
        })
        .expect(201);
    await note('Verrière cracked by frost');
    await note('verrieres cracking again');
    const titles = async (query: string) =>
      (
        await answer<{ items: { snippet: string }[] }>(
          archive.keeper.get(`/v1/search?${query}`),
          200,
        )
      ).items.map((item) => item.snippet.replaceAll(/[«»]/g, ''));
    const both = [
      expect.stringContaining('verrieres'),
      expect.stringContaining('Verrière'),
    ] as unknown[];
    expect(await titles('q=verri')).toEqual(both);
    expect(await titles('q=VERRIERE')).toEqual(both);
    expect(await titles('q=cracks&kind=finding')).toEqual(expect.arrayContaining(both) as unknown);
    expect(await titles('q=verri&from=2025-07-01')).toEqual([]);
    expect(await titles('q=verri&from=2025-05-01&to=2025-06-30&window=wI&site=SLM')).toEqual(both);
    expect(await titles('q=verri&window=nII')).toEqual([]);
    expect(await titles('q=verri&stage=before')).toEqual([]);
    expect(await titles('q=%27%3B%20DROP%20TABLE--%20%26%7C!%3A*')).toEqual([]);
  });

  it('pages without losing or doubling', async () => {
    const seen: string[] = [];
    let next: string | null = '';
    while (next !== null) {
      const page: { items: { kind: string; rowId: string }[]; next: string | null } = await answer(
        archive.keeper.get(`/v1/search?q=&limit=2${next === '' ? '' : `&after=${next}`}`),
        200,
      );
      seen.push(...page.items.map(({ kind, rowId }) => `${kind}/${rowId}`));
      ({ next } = page);
    }
    const { rows } = await archive.pool.query<{ n: number }>(
      'SELECT count(*)::int AS n FROM search_row',
    );
    expect(new Set(seen).size).toBe(seen.length);
    expect(seen).toHaveLength(rows[0]!.n);
  });
});
