/** Revisions of a lead drawing: what each says of itself, what differs, what a signature freezes. */
import type { NetSketch } from '#libs/net';
import {
  type ApiArchive,
  type Ask,
  answer,
  startApiArchive,
  twoPieces,
} from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

interface Revision {
  revision: number;
  note: string | null;
  change: string | null;
  madeBy: string;
  surface: string;
  layer: string;
  reading: unknown;
  summary: { doubtful: number; doubtfulLeads: number };
  signedAt: string | null;
  signedDoubts: number | null;
  digest: string;
}

interface Net {
  leads: {
    leadId: string;
    kind: string;
    profile: string | null;
    doubts: string[];
    lineMm: [number, number][];
  }[];
  doubtfulPlaces: { xyMm: [number, number]; leadId: string | null }[];
}

const nets = (mark: string) => `/v1/panels/${site.panels[mark]!}/nets`;

function revise(mark: string, last: number, body: object): Ask {
  return archive.keeper.post(nets(mark), body, { 'If-Match': `"${last}"` });
}

type Sketch = ReturnType<typeof twoPieces>;

/** The middle lead moved over by so much. */
function movedMiddle(mm: number): Sketch {
  const sketch = twoPieces();
  const put = (xyMm: readonly [number, number]): readonly [number, number] =>
    xyMm[0] === 200 ? [200 + mm, xyMm[1]] : xyMm;
  return {
    nodes: sketch.nodes.map(({ xyMm }) => ({ xyMm: put(xyMm) })),
    leads: sketch.leads.map((lead) => ({ ...lead, lineMm: lead.lineMm.map(put) })),
  };
}

describe('a revision', () => {
  it('says what it is: by whom it was made, what was said of it, what differs', async () => {
    const first = await answer<Revision>(
      revise('1a', 0, { sketch: twoPieces(), note: 'drawn from the cartoon', surface: 'plan' }),
      201,
    );
    expect(first).toMatchObject({
      revision: 1,
      note: 'drawn from the cartoon',
      change: null,
      madeBy: 'hand/1',
      surface: 'plan',
      reading: null,
      signedDoubts: null,
    });
    const second = await answer<Revision>(
      revise('1a', 1, { sketch: movedMiddle(0.8), note: 'after the second measuring' }),
      201,
    );
    expect(second).toMatchObject({
      revision: 2,
      note: 'after the second measuring',
      surface: 'plan',
    });
    // the middle lead went 0.8 mm; what it carried with it at its ends are the outer leads' own ends
    expect(second.change).toMatch(/lead.* moved ≤ 0\.8 mm/);
    const { items } = await answer<{ items: Revision[] }>(archive.keeper.get(nets('1a')), 200);
    expect(items.map(({ revision, change }) => [revision, change])).toEqual([
      [2, second.change],
      [1, null],
    ]);
  });

  it('is compared with any other, lead by lead', async () => {
    interface Changes {
      since: number | null;
      sentence: string | null;
      moved: { beforeLeadId: string; maxMm: number }[];
      added: unknown[];
    }
    const changes = await answer<Changes>(
      archive.keeper.get(`${nets('1a')}/2/changes?since=1`),
      200,
    );
    expect(Math.max(...changes.moved.map(({ maxMm }) => maxMm))).toBeCloseTo(0.8, 2);
    expect(changes.added).toEqual([]);
    const before = await answer<Changes>(archive.keeper.get(`${nets('1a')}/2/changes`), 200);
    expect(before).toEqual(changes);
    const back = await answer<Changes>(archive.keeper.get(`${nets('1a')}/1/changes?since=2`), 200);
    expect(Math.max(...back.moved.map(({ maxMm }) => maxMm))).toBeCloseTo(0.8, 2);
    const none = await answer<Changes>(archive.keeper.get(`${nets('1a')}/1/changes`), 200);
    expect(none).toMatchObject({ since: null, sentence: null, moved: [] });
    const unknown = archive.keeper.get(`${nets('1a')}/2/changes?since=9`);
    expect(await answer<object>(unknown, 404)).toMatchObject({ type: '/problems/net-unknown' });
  });

  it('keeps the profile of a gauge reading, lead by lead', async () => {
    const sketch = twoPieces();
    const gauged = sketch.leads.map((lead, i) =>
      i === 6 ? { ...lead, profile: '6 mm flat H' } : lead,
    );
    await answer(revise('1a', 2, { sketch: { ...sketch, leads: gauged }, note: 'gauged' }), 201);
    const net = await answer<Net>(archive.keeper.get(`${nets('1a')}/3`), 200);
    expect(
      net.leads.map(({ kind, profile }) => [kind, profile]).filter(([, p]) => p !== null),
    ).toEqual([['came', '6 mm flat H']]);
  });

  it('keeps places in doubt open until somebody answers them', async () => {
    const doubt = { xyMm: [200, 150], radiusMm: 6, reason: 'weak-wax', leadIndex: 6 };
    const other = { xyMm: [100, 80], radiusMm: 9, reason: 'may-be-missing' };
    const revised = await answer<Revision>(
      revise('1b', 0, { sketch: twoPieces(), note: 'two doubts', doubtfulPlaces: [doubt, other] }),
      201,
    );
    expect(revised.summary.doubtful).toBe(2);
    // said nothing of them: they stay, on the lead that runs there
    await answer(revise('1b', 1, { sketch: movedMiddle(0.5), note: 'moved' }), 201);
    const kept = await answer<Net>(archive.keeper.get(`${nets('1b')}/2`), 200);
    expect(kept.doubtfulPlaces).toHaveLength(2);
    const middle = kept.leads.find(({ kind }) => kind === 'came')!;
    expect(kept.doubtfulPlaces.map(({ leadId }) => leadId).sort()).toEqual(
      [middle.leadId, null].sort(),
    );
    const answered = await answer<Revision>(
      revise('1b', 2, { sketch: movedMiddle(0.5), note: 'one answered', doubtfulPlaces: [other] }),
      201,
    );
    expect(answered.summary.doubtful).toBe(1);
    expect(answered.change).toMatch(/1 doubt answered/);
    const wrong = revise('1b', 3, {
      sketch: twoPieces(),
      note: 'x',
      doubtfulPlaces: [{ ...other, reason: 'odd' }],
    });
    expect(await answer<object>(wrong, 400)).toMatchObject({ field: 'doubtfulPlaces[0].reason' });
  });

  it('that does not close is refused with the place', async () => {
    const sketch = twoPieces();
    const [, ...withoutOne] = sketch.leads;
    const open = revise('1b', 3, { sketch: { ...sketch, leads: withoutOne }, note: 'x' });
    expect(await answer<object>(open, 422)).toMatchObject({
      type: '/problems/sketch-invalid',
      field: 'sketch',
      xMm: expect.any(Number) as number,
    });
    const { items } = await answer<{ items: Revision[] }>(archive.keeper.get(nets('1b')), 200);
    expect(items).toHaveLength(3);
  });

  it('needs the last one to be named', async () => {
    const body = { sketch: twoPieces(), note: 'x' };
    const none = archive.keeper.post(nets('1b'), body);
    expect(await answer<object>(none, 428)).toMatchObject({ type: '/problems/version-required' });
    expect(await answer<object>(revise('1b', 1, body), 412)).toMatchObject({ currentVersion: 3 });
  });
});

describe('a signature', () => {
  const bytes = async (mark: string, revision: number) =>
    JSON.stringify((await archive.keeper.get(`${nets(mark)}/${revision}`).expect(200)).body);

  it('may stand over open doubts; how many there were is kept and said', async () => {
    const signed = await answer<Revision>(archive.keeper.post(`${nets('1b')}/3/sign`), 200);
    expect(signed).toMatchObject({ revision: 3, signedDoubts: 1 });
    expect(signed.signedAt).not.toBeNull();
  });

  it('freezes its revision: an edit is a new one without it', async () => {
    const before = await bytes('1b', 3);
    const later = await answer<Revision>(
      revise('1b', 3, { sketch: movedMiddle(1), note: 'after signing', doubtfulPlaces: [] }),
      201,
    );
    expect(later).toMatchObject({ revision: 4, signedAt: null, signedDoubts: null });
    expect(await bytes('1b', 3)).toBe(before);
    const { items } = await answer<{ items: Revision[] }>(archive.keeper.get(nets('1b')), 200);
    expect(items.map(({ revision, signedAt }) => [revision, signedAt !== null])).toEqual([
      [4, false],
      [3, true],
      [2, false],
      [1, false],
    ]);
    const panel = await answer<object>(archive.keeper.get(`/v1/panels/${site.panels['1b']!}`), 200);
    expect(panel).toMatchObject({ netRevision: 4, signedRevision: 3 });
  });

  it('gives its pieces their numbers for ever: what is gone leaves its number unused', async () => {
    const named = async (revision: number) =>
      (
        await answer<{ pieces: { pieceId: string }[] }>(
          archive.keeper.get(`${nets('2b')}/${revision}`),
          200,
        )
      ).pieces.map(({ pieceId }) => pieceId);
    const { nodes, leads } = twoPieces();
    const onePiece = { nodes, leads: leads.slice(0, -1) };
    await revise('2b', 0, { sketch: twoPieces(), note: 'first' }).expect(201);
    await archive.keeper.post(`${nets('2b')}/1/sign`).expect(200);
    expect(await named(1)).toEqual(['1', '2']);
    await revise('2b', 1, { sketch: onePiece, note: 'one piece only' }).expect(201);
    expect(await named(2)).toEqual(['1']);
    await revise('2b', 2, { sketch: twoPieces(), note: 'two again' }).expect(201);
    expect(await named(3)).toEqual(['1', '3']);
  });

  it('is given once, and not to what a newer signed one replaced', async () => {
    const again = archive.keeper.post(`${nets('1b')}/3/sign`);
    expect(await answer<object>(again, 409)).toMatchObject({ type: '/problems/net-signed' });
    const older = archive.keeper.post(`${nets('1b')}/2/sign`);
    expect(await answer<object>(older, 409)).toMatchObject({
      type: '/problems/net-signed',
      signedRevision: 3,
    });
  });

  it('is not a recorder’s to give', async () => {
    const recorder = await archive.person('glazier', 'recorder');
    const asked = recorder.post(`${nets('1b')}/4/sign`);
    expect(await answer<object>(asked, 403)).toMatchObject({ type: '/problems/role-insufficient' });
  });

  it('stands in the list beside who drew each revision, by name', async () => {
    const painter = await archive.person('painter', 'recorder');
    await answer(
      painter.post(
        nets('1b'),
        { sketch: movedMiddle(2), note: 'by another hand', doubtfulPlaces: [] },
        { 'If-Match': '"4"' },
      ),
      201,
    );
    const { items } = await answer<{ items: Record<string, unknown>[] }>(
      painter.get(nets('1b')),
      200,
    );
    const who = items.map(({ revision, recordedByName, signedByName }) => [
      revision,
      recordedByName,
      signedByName,
    ]);
    expect(who).toEqual([
      [5, 'painter', null],
      [4, 'Studio head', null],
      [3, 'Studio head', 'Studio head'],
      [2, 'Studio head', null],
      [1, 'Studio head', null],
    ]);
    expect(items[0]!['recordedBy']).not.toBe(items[1]!['recordedBy']);
  });
});

describe('the back layer of a plated panel', () => {
  it('has revisions of its own in the same list and frame; the pieces stay the front’s', async () => {
    await answer(revise('2a', 0, { sketch: twoPieces(), note: 'front' }), 201);
    await archive.keeper.post(`${nets('2a')}/1/sign`).expect(200);
    const plate: NetSketch = { ...(twoPieces() as unknown as NetSketch) };
    const outerOnly = { ...plate, leads: plate.leads.filter(({ kind }) => kind === 'outer') };
    const back = await answer<Revision>(
      revise('2a', 1, { sketch: outerOnly, note: 'one plate', layer: 'back' }),
      201,
    );
    expect(back).toMatchObject({ revision: 2, layer: 'back', change: null });
    await archive.keeper.post(`${nets('2a')}/2/sign`).expect(200);
    const { items } = await answer<{ items: { mark: string; retired: boolean }[] }>(
      archive.keeper.get(`/v1/panels/${site.panels['2a']!}/pieces`),
      200,
    );
    expect(items.map(({ mark, retired }) => [mark, retired])).toEqual([
      ['1', false],
      ['2', false],
    ]);
    const front = await answer<Revision>(
      revise('2a', 2, { sketch: movedMiddle(2), note: 'front again', layer: 'front' }),
      201,
    );
    expect(front.change).toMatch(/moved ≤ 2\.0 mm/);
    const mixed = archive.keeper.get(`${nets('2a')}/3/changes?since=2`);
    expect(await answer<object>(mixed, 400)).toMatchObject({ field: 'since' });
  });
});

describe('files of a revision', () => {
  it('are as they were asked for', async () => {
    const text = async (file: string) =>
      (await archive.keeper.get(`${nets('1a')}/3/${file}`).expect(200)) as unknown as {
        text: string;
        body: Record<string, unknown>;
      };
    const schedule = (await text('schedule.json?stickMm=1800&wasteRatio=0.25&thicknessMm=4')).body;
    expect(schedule['wasteRatio']).toBe(0.25);
    const [first] = schedule['pieces'] as {
      layersMm: number[];
      cutAreaMm2: number;
      grams: number;
    }[];
    expect(first!.layersMm).toEqual([4]);
    // soda-lime glass, 2.5 g/cm³ (handbook value, from memory): area × 4 mm × 2.5 g / 1000 mm³
    expect(first!.grams).toBeCloseTo((first!.cutAreaMm2 * 4 * 2.5) / 1000, 0);
    const stored = (await archive.keeper.get(`${nets('1a')}/3`).expect(200)).body;
    expect((await text('net.json')).body).toEqual(stored);
  });

  it.each([
    ['net.svg', /svg/],
    ['net.svg?mirrored=true', /svg/],
    ['net.dxf', /dxf/],
    ['net.json', /json/],
    ['net.geojson', /geo\+json/],
    ['net.pdf?paper=A3', /pdf/],
    ['net.pdf?paper=Letter&mirrored=true&overlapMm=15', /pdf/],
    ['pattern.pdf', /pdf/],
    ['pattern.pdf?paper=A3&inPlace=true', /pdf/],
    ['pattern.svg?mirrored=true', /svg/],
    ['pattern.dxf?inPlace=true', /dxf/],
    ['schedule.csv?stickMm=1800&wasteRatio=0.15', /csv/],
    ['schedule.json?stickMm=1800', /json/],
  ])('%s', async (file, type) => {
    const { headers } = await archive.keeper.get(`${nets('1a')}/3/${file}`).expect(200);
    expect(headers['content-type']).toMatch(type);
    expect(headers['content-disposition']).toContain(`r3-${file.split('?')[0]!}`);
  });

  it.each([
    ['net.pdf?paper=A5', 'paper'],
    ['net.pdf?mirrored=yes', 'mirrored'],
    ['schedule.csv?wasteRatio=9', 'wasteRatio'],
  ])('%s is refused by name', async (file, field) => {
    const asked = archive.keeper.get(`${nets('1a')}/3/${file}`);
    expect(await answer<object>(asked, 400)).toMatchObject({ field });
  });

  it('a drawing that no machine read has no flattened picture and no stages', async () => {
    await archive.keeper.get(`${nets('1a')}/3/rectified.jpg`).expect(404);
    const stages = await answer<object>(archive.keeper.get(`${nets('1a')}/3/stages`), 200);
    expect(stages).toEqual({ items: [], next: null });
    await archive.keeper.get(`${nets('1a')}/3/stages/wax.jpg`).expect(404);
  });
});
