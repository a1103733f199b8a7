import { randomUUID } from 'node:crypto';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { type ApiArchive, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

const crack = (note: string) => ({
  term: 'glass.crack.simple',
  geometry: {
    kind: 'line',
    xyMm: [
      [10, 10],
      [60, 10],
    ],
  },
  face: 'inside',
  note,
});

const findings = () => `/v1/panels/${site.panels['1a']!}/findings`;

interface Counts {
  entries: number;
  leaves: number;
  findings: number;
  objects: number;
  answers: number;
  jobs: number;
  files: number;
}

async function counts(): Promise<Counts> {
  const { rows } = await archive.pool.query<Omit<Counts, 'files'>>(
    `SELECT (SELECT count(*)::int FROM entry) AS entries,
            (SELECT coalesce(sum(size), 0)::int FROM log) AS leaves,
            (SELECT count(*)::int FROM finding) AS findings,
            (SELECT count(*)::int FROM stored_object) AS objects,
            (SELECT count(*)::int FROM idempotency) AS answers,
            (SELECT count(*)::int FROM job_progress) AS jobs`,
  );
  const objects = await readdir(join(archive.config.home, 'objects', 'sha256'), {
    recursive: true,
    withFileTypes: true,
  });
  return { ...rows[0]!, files: objects.filter((entry) => entry.isFile()).length };
}

describe('a retry', () => {
  it('of a finding with an id of its own is there once, whoever sends it under whichever key', async () => {
    const findingId = randomUUID();
    const said = { ...crack('on two devices'), findingId };
    const other = await archive.person('device', 'recorder', site.siteId);
    const answers = await Promise.all([
      archive.keeper.post(findings(), said, { 'Idempotency-Key': 'device-1' }),
      other.post(findings(), said, { 'Idempotency-Key': 'device-2' }),
    ]);
    expect(answers.map(({ status }) => status).toSorted()).toEqual([201, 409]);
    const taken = answers.find(({ status }) => status === 201)!.body as {
      findingId: string;
      entry: { logId: string; seq: number };
    };
    expect(taken.findingId).toBe(findingId);
    const before = await counts();
    const late = await other.post(findings(), said, { 'Idempotency-Key': 'device-3' }).expect(409);
    expect(late.body).toMatchObject({
      type: '/problems/finding-known',
      findingId,
      logId: taken.entry.logId,
      seq: taken.entry.seq,
    });
    expect((await counts()).findings).toBe(before.findings);
    // of a finding at another site nothing is told
    const elsewhere = await archive.site('OTH');
    const there = await archive.keeper
      .post(`/v1/panels/${elsewhere.panels['1a']!}/findings`, said)
      .expect(409);
    expect(there.body).not.toHaveProperty('seq');
  });

  it('with the same key is answered as the first time and writes nothing more', async () => {
    const key = { 'Idempotency-Key': 'retry-1' };
    const first = await archive.keeper.post(findings(), crack('once'), key).expect(201);
    const before = await counts();
    const again = await archive.keeper.post(findings(), crack('once'), key).expect(201);
    expect(again.body).toEqual(first.body);
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect(await counts()).toEqual(before);
  });

  it('sent twice at the same moment is written once', async () => {
    const key = { 'Idempotency-Key': 'retry-2' };
    const before = await counts();
    const both = await Promise.all([
      archive.keeper.post(findings(), crack('twice'), key),
      archive.keeper.post(findings(), crack('twice'), key),
    ]);
    expect(both.map((answer) => answer.status)).toEqual([201, 201]);
    expect(both[0].body).toEqual(both[1].body);
    expect((await counts()).findings).toBe(before.findings + 1);
  });

  it('with the same key and another body is refused', async () => {
    const key = { 'Idempotency-Key': 'retry-3' };
    await archive.keeper.post(findings(), crack('this'), key).expect(201);
    const before = await counts();
    const { body } = await archive.keeper.post(findings(), crack('that'), key).expect(422);
    expect(body).toMatchObject({
      type: '/problems/idempotency-key-reused',
      field: 'Idempotency-Key',
    });
    expect(await counts()).toEqual(before);
  });

  it('belongs to the person who sent it', async () => {
    const other = await archive.person('other', 'recorder', site.siteId);
    const key = { 'Idempotency-Key': 'retry-4' };
    await archive.keeper.post(findings(), crack('mine'), key).expect(201);
    const theirs = await other.post(findings(), crack('theirs'), key).expect(201);
    expect(theirs.body).toMatchObject({ note: 'theirs' });
  });
});

describe('a revision', () => {
  it('needs the version that was read', async () => {
    const panelId = site.panels['1b']!;
    const read = await archive.keeper.get(`/v1/panels/${panelId}`).expect(200);
    const etag = read.headers['etag']!;
    expect(etag).toBe(`"${(read.body as { version: number }).version}"`);
    const missing = await archive.keeper
      .put(`/v1/panels/${panelId}`, { shows: 'a boat' })
      .expect(428);
    expect(missing.body).toMatchObject({ type: '/problems/version-required', field: 'If-Match' });
    const revised = await archive.keeper
      .put(`/v1/panels/${panelId}`, { shows: 'a boat' }, { 'If-Match': etag })
      .expect(200);
    const before = await counts();
    const stale = await archive.keeper
      .put(`/v1/panels/${panelId}`, { shows: 'a ship' }, { 'If-Match': etag })
      .expect(412);
    expect(stale.body).toMatchObject({
      type: '/problems/stale-version',
      currentVersion: (revised.body as { version: number }).version,
    });
    expect(await counts()).toEqual(before);
    const after = await archive.keeper.get(`/v1/panels/${panelId}`).expect(200);
    expect(after.body).toMatchObject({ shows: 'a boat' });
  });

  it('of two at the same moment lets one through', async () => {
    const made = await archive.keeper.post(findings(), crack('contested')).expect(201);
    const { findingId, version } = made.body as { findingId: string; version: number };
    const answers = await Promise.all(
      ['left', 'right', 'third'].map((note) =>
        archive.keeper.put(`/v1/findings/${findingId}`, crack(note), {
          'If-Match': `"${version}"`,
        }),
      ),
    );
    expect(answers.map((answer) => answer.status).sort()).toEqual([200, 412, 412]);
  });
});

describe('group commit', () => {
  it('keeps the good commands of a batch when others are bad, each with a place of its own', async () => {
    const before = await counts();
    const { rows: heads } = await archive.pool.query<{ n: string }>(
      'SELECT count(*) AS n FROM checkpoint WHERE log_id = $1',
      [site.siteId],
    );
    const answers = await Promise.all(
      Array.from({ length: 24 }, (_, i) =>
        archive.keeper.post(
          findings(),
          i % 3 === 0
            ? { ...crack(`bad ${i}`), evidence: ['018f3a5e-7b1c-7c3d-8e4f-000000000000'] }
            : crack(`good ${i}`),
        ),
      ),
    );
    const good = answers.filter((answer) => answer.status === 201);
    expect(good).toHaveLength(16);
    expect(answers.filter((answer) => answer.status === 422)).toHaveLength(8);
    const seqs = good.map((answer) => (answer.body as { entry: { seq: number } }).entry.seq);
    expect(new Set(seqs).size).toBe(16);
    expect(Math.max(...seqs) - Math.min(...seqs)).toBe(15);
    const after = await counts();
    expect(after.entries).toBe(before.entries + 16);
    expect(after.findings).toBe(before.findings + 16);
    // Several entries a signature: they were written together.
    const { rows: later } = await archive.pool.query<{ n: string }>(
      'SELECT count(*) AS n FROM checkpoint WHERE log_id = $1',
      [site.siteId],
    );
    const signatures = Number(later[0]!.n) - Number(heads[0]!.n);
    expect(signatures).toBeGreaterThan(0);
    expect(signatures).toBeLessThan(16);
  });
});

describe('what is refused', () => {
  const unknownId = '018f3a5e-7b1c-7c3d-8e4f-000000000000';
  const line = {
    kind: 'line',
    xyMm: [
      [10, 10],
      [60, 10],
    ],
  };

  it.each<[string, () => [string, object], number, string, string]>([
    [
      'an unknown term',
      () => [findings(), { ...crack('x'), term: 'glass.nonsense' }],
      422,
      'term-unknown',
      'term',
    ],
    [
      'a term drawn otherwise',
      () => [
        findings(),
        {
          ...crack('x'),
          geometry: {
            kind: 'area',
            xyMm: [
              [0, 0],
              [9, 0],
              [9, 9],
            ],
          },
        },
      ],
      422,
      'geometry-invalid',
      'geometry',
    ],
    [
      'a line of one point',
      () => [findings(), { ...crack('x'), geometry: { kind: 'line', xyMm: [[10, 10]] } }],
      422,
      'geometry-invalid',
      'geometry',
    ],
    [
      'a point that is no number',
      () => [
        findings(),
        {
          ...crack('x'),
          geometry: {
            kind: 'line',
            xyMm: [
              [10, 'x'],
              [1, 1],
            ],
          },
        },
      ],
      400,
      'request-invalid',
      'geometry.xyMm[0][1]',
    ],
    [
      'a piece that is not drawn',
      () => [findings(), { ...crack('x'), inPanel: '99' }],
      422,
      'subject-unknown',
      'inPanel',
    ],
    [
      'a mark that is none',
      () => [findings(), { ...crack('x'), inPanel: '0x' }],
      422,
      'mark-invalid',
      'inPanel',
    ],
    [
      'evidence that is not there',
      () => [findings(), { ...crack('x'), evidence: [unknownId] }],
      422,
      'evidence-unknown',
      'evidence',
    ],
    [
      'a date that is none',
      () => [findings(), { ...crack('x'), happened: '2026-02-30' }],
      422,
      'date-invalid',
      'happened',
    ],
    [
      'a member that does not exist',
      () => [findings(), { ...crack('x'), severity: 3 }],
      400,
      'request-invalid',
      'body',
    ],
    [
      'a drawing on a picture that is not laid',
      () => [
        findings(),
        {
          ...crack('x'),
          geometry: {
            kind: 'line',
            mediaId: unknownId,
            xyPx: [
              [1, 1],
              [2, 2],
            ],
          },
        },
      ],
      422,
      'picture-unplaced',
      'mediaId',
    ],
    [
      'an intervention on an unknown mark',
      () => [
        `/v1/sites/${site.siteId}/interventions`,
        { subjects: ['wI.9z'], operation: 'bond.epoxy', happened: '1931~' },
      ],
      422,
      'subject-unknown',
      'subjects[0]',
    ],
    [
      'an unknown operation',
      () => [
        `/v1/sites/${site.siteId}/interventions`,
        { subjects: ['wI'], operation: 'magic', happened: '1931~' },
      ],
      422,
      'operation-unknown',
      'operation',
    ],
    [
      'a window drawn twice',
      () => [
        `/v1/sites/${site.siteId}/windows`,
        {
          mark: 'w1',
          title: 'again',
          drawing: {
            opening: { kind: 'rectangular', widthMm: 9, heightMm: 9 },
            lights: [],
            tracery: [],
            bars: [],
          },
        },
      ],
      409,
      'window-exists',
      'mark',
    ],
    [
      'a window mark of no scheme',
      () => [
        `/v1/sites/${site.siteId}/windows`,
        {
          mark: 'nI',
          title: 'x',
          drawing: {
            opening: { kind: 'rectangular', widthMm: 9, heightMm: 9 },
            lights: [],
            tracery: [],
            bars: [],
          },
        },
      ],
      422,
      'mark-invalid',
      'mark',
    ],
    [
      'rows that do not fill the light',
      () => [
        `/v1/sites/${site.siteId}/windows`,
        {
          mark: 'nII',
          title: 'x',
          drawing: {
            opening: { kind: 'rectangular', widthMm: 500, heightMm: 900 },
            lights: [
              {
                letter: 'a',
                xMm: 0,
                yMm: 0,
                opening: { kind: 'rectangular', widthMm: 500, heightMm: 900 },
                rowHeightsMm: [300],
              },
            ],
            tracery: [],
            bars: [],
          },
        },
      ],
      422,
      'drawing-invalid',
      'drawing.lights.0.rowHeightsMm',
    ],
    [
      'a site twice',
      () => ['/v1/sites', { code: 'SLM', name: 'x', scheme: 'church' }],
      409,
      'site-exists',
      'code',
    ],
    [
      'a site code in small letters',
      () => ['/v1/sites', { code: 'slm', name: 'x', scheme: 'church' }],
      422,
      'mark-invalid',
      'code',
    ],
    [
      'a rubbing on an untested panel',
      () => [
        `/v1/panels/${site.panels['1a']!}/rubbings`,
        { conditions: { paintTested: false, looseAreas: 'none', panelSupported: true } },
      ],
      400,
      'request-invalid',
      'conditions.paintTested',
    ],
    [
      'an alias of nothing',
      () => [
        `/v1/sites/${site.siteId}/aliases`,
        { mark: 'sII', scheme: 'fr', text: 'baie 4', source: 'survey' },
      ],
      422,
      'subject-unknown',
      'mark[0]',
    ],
    [
      'a dossier of nothing',
      () => [`/v1/sites/${site.siteId}/dossiers`, { subject: 'sII.1a', kind: 'handed-out' }],
      422,
      'subject-unknown',
      'subject[0]',
    ],
    [
      'a carry-over before a signed drawing',
      () => [
        `/v1/panels/${site.panels['2a']!}/carry-over`,
        { matches: [{ provisionalPieceId: unknownId, pieceId: unknownId }] },
      ],
      409,
      'net-unsigned',
      '',
    ],
    [
      'a finding on an unknown drawing',
      () => [findings(), { ...crack('x'), netRevision: 7 }],
      404,
      'net-unknown',
      '',
    ],
    [
      'an extraction of an unknown rubbing',
      () => [
        `/v1/rubbings/${unknownId}/extractions`,
        {
          pictures: [
            {
              mediaId: unknownId,
              control: { kind: 'scale_bar', length_mm: 100 },
              taps: [
                [0, 0],
                [9, 9],
              ],
            },
          ],
        },
      ],
      404,
      'rubbing-unknown',
      '',
    ],
    [
      'signing a drawing that is not there',
      () => [`/v1/panels/${site.panels['2a']!}/nets/3/sign`, {}],
      404,
      'net-unknown',
      '',
    ],
    [
      'an id that is none',
      () => ['/v1/panels/nonsense/findings', { ...crack('x'), geometry: line }],
      400,
      'request-invalid',
      'panelId',
    ],
  ])('%s', async (_, request, status, code, field) => {
    const [path, sent] = request();
    const before = await counts();
    const { body, headers } = await archive.keeper.post(path, sent).expect(status);
    expect(headers['content-type']).toMatch(/^application\/problem\+json/);
    expect(body).toMatchObject({ type: `/problems/${code}`, status });
    if (field !== '') expect((body as { field: string }).field).toBe(field);
    expect((body as { detail: string }).detail.length).toBeGreaterThan(20);
    // Nothing half-written.
    expect(await counts()).toEqual(before);
  });

  it('leads that do not close, with the place', async () => {
    const before = await counts();
    const sketch = {
      nodes: [
        [0, 0],
        [100, 0],
        [100, 100],
      ].map((xyMm) => ({ xyMm })),
      leads: [
        {
          from: 0,
          to: 1,
          kind: 'outer',
          lineMm: [
            [0, 0],
            [100, 0],
          ],
          faceWidthMm: 6,
        },
        {
          from: 1,
          to: 2,
          kind: 'outer',
          lineMm: [
            [100, 0],
            [100, 100],
          ],
          faceWidthMm: 6,
        },
      ],
    };
    const { body } = await archive.keeper
      .post(
        `/v1/panels/${site.panels['2a']!}/nets`,
        { sketch, note: 'open' },
        { 'If-Match': '"0"' },
      )
      .expect(422);
    expect(body).toMatchObject({ type: '/problems/sketch-invalid', field: 'sketch' });
    expect(await counts()).toEqual(before);
  });

  it.each([
    [
      'three points',
      [
        [0, 0],
        [100, 0],
        [100, 100],
      ],
      400,
    ],
    [
      'four on a line',
      [
        [0, 0],
        [100, 0],
        [200, 0],
        [300, 0],
      ],
      422,
    ],
    [
      'two at one place',
      [
        [0, 0],
        [0, 0],
        [100, 100],
        [0, 100],
      ],
      422,
    ],
  ])('a picture laid by %s', async (_, places, status) => {
    const points = places.map(([x, y]) => ({ imageXyPx: [x, y], panelXyMm: [x, y] }));
    const { body } = await archive.keeper
      .put(`/v1/panels/${site.panels['2a']!}/placements/${unknownId}`, { points })
      .expect(status);
    expect((body as { field: string }).field).toBe('points');
  });

  it('a body that is too large', async () => {
    const before = await counts();
    const { body } = await archive.keeper
      .post(findings(), { ...crack('x'), note: 'x'.repeat(9 * 1024 ** 2) })
      .expect(413);
    expect(body).toMatchObject({ type: '/problems/body-too-large' });
    expect(await counts()).toEqual(before);
  });

  it('an entry that is too large for the ledger', async () => {
    const before = await counts();
    const detail = Object.fromEntries(
      Array.from({ length: 20 }, (_, i) => [`note ${i}`, 'x'.repeat(1000)]),
    );
    const { body } = await archive.keeper
      .post(`/v1/sites/${site.siteId}/interventions`, {
        subjects: ['wI'],
        operation: 'bond.epoxy',
        happened: '1931~',
        detail,
      })
      .expect(413);
    expect(body).toMatchObject({ type: '/problems/entry-too-large' });
    expect(await counts()).toEqual(before);
  });

  it('text that is no JSON', async () => {
    const { body } = await archive.keeper
      .post(findings(), {})
      .set('Content-Type', 'application/json')
      .send('{"term":')
      .expect(400);
    expect(body).toMatchObject({ type: '/problems/body-unreadable', field: 'body' });
  });

  it('an address that nothing answers', async () => {
    const { body } = await archive.keeper.get('/v1/nonsense').expect(404);
    expect(body).toMatchObject({ type: '/problems/route-unknown' });
  });

  it('a cursor from elsewhere', async () => {
    const { body } = await archive.keeper.get(`${findings()}?after=nonsense`).expect(400);
    expect(body).toMatchObject({ field: 'after' });
  });
});

describe('large geometry', () => {
  it('is kept as an object and read back whole', async () => {
    const xyMm = Array.from({ length: 1000 }, (_, i) => [i / 3, Math.sin(i) * 20 + 100]);
    const made = await archive.keeper
      .post(findings(), { ...crack('long'), geometry: { kind: 'line', xyMm } })
      .expect(201);
    const { entry, findingId } = made.body as {
      entry: { logId: string; seq: number };
      findingId: string;
    };
    const stored = await archive.keeper
      .get(`/v1/logs/${entry.logId}/entries/${entry.seq}`)
      .expect(200);
    const bytes = Buffer.from((stored.body as { bytes: string }).bytes, 'base64');
    expect(bytes.length).toBeLessThan(4096);
    expect(bytes.toString()).toContain('"role":"geometry"');
    const { body } = await archive.keeper.get(`/v1/findings/${findingId}`).expect(200);
    expect((body as { geometry: { xyMm: unknown[] } }).geometry.xyMm).toHaveLength(1000);
  });
});

describe('a large revision that comes too late', () => {
  it('leaves no bytes in the store', async () => {
    const made = await archive.keeper.post(findings(), crack('short')).expect(201);
    const { findingId } = made.body as { findingId: string };
    const xyMm = Array.from({ length: 1200 }, (_, i) => [i / 7, Math.cos(i) * 11 + 90]);
    const before = await counts();
    await archive.keeper
      .put(
        `/v1/findings/${findingId}`,
        { ...crack('late'), geometry: { kind: 'line', xyMm } },
        { 'If-Match': '"0"' },
      )
      .expect(412);
    expect(await counts()).toEqual(before);
  });
});

describe('lists', () => {
  it('are paged by place, and every row comes once', async () => {
    const seen: string[] = [];
    let next: string | null = null;
    do {
      const query: string = next === null ? '' : `&after=${next}`;
      const { body } = await archive.keeper.get(`${findings()}?limit=7${query}`).expect(200);
      const page = body as { items: { findingId: string }[]; next: string | null };
      seen.push(...page.items.map((item) => item.findingId));
      next = page.next;
    } while (next !== null);
    const { rows } = await archive.pool.query<{ n: number }>(
      `SELECT count(*)::int AS n FROM finding WHERE panel_id = $1 AND state = 'recorded'`,
      [site.panels['1a']],
    );
    expect(new Set(seen).size).toBe(seen.length);
    expect(seen).toHaveLength(rows[0]!.n);
  });
});
