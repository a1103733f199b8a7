/** Estimates: quantities out of areas and drawings, money in decimals, and who may not see them. */
import {
  type ApiArchive,
  answer,
  Person,
  startApiArchive,
  twoPieces,
} from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let path: string;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  const { campaignId } = await answer<{ campaignId: string }>(
    archive.keeper.post(`/v1/sites/${site.siteId}/campaigns`, {
      title: 'the lights',
      scope: ['wI.1a', 'wI.2a'],
      happened: '2026-01',
    }),
    201,
  );
  path = `/v1/campaigns/${campaignId}`;
}, 60_000);
afterAll(() => archive.close());

const exactly = (value: number) => ({ low: value, likely: value, high: value });
const LINE = {
  what: 'bond',
  unit: 'piece',
  quantity: exactly(3),
  minutesPerUnit: exactly(20),
  pricePerUnit: '0.335',
};
const BODY = {
  title: 'the lights',
  stage: 'first',
  terms: { currency: 'EUR', perHour: '60', contingencyRatio: '0.1' },
  alternatives: [{ name: 'in place', lines: [LINE] }],
};

it.each([
  ['a currency that is no code', { ...BODY, terms: { ...BODY.terms, currency: 'euro' } }, 400],
  ['a price that is a floating number', { ...BODY, terms: { ...BODY.terms, perHour: 60 } }, 400],
  ['an alternative that is not there', { ...BODY, chosen: 1 }, 400],
  [
    'a range out of order',
    {
      ...BODY,
      alternatives: [{ name: 'x', lines: [{ ...LINE, quantity: { low: 4, likely: 3, high: 5 } }] }],
    },
    422,
  ],
])('%s is refused', async (_what, body, status) => {
  await answer(archive.keeper.post(`${path}/estimates`, body), status);
});

it('adds up, is expected by the progress, and the second is told as a variation', async () => {
  const first = await answer<{ estimateId: string }>(
    archive.keeper.post(`${path}/estimates`, BODY),
    201,
  );
  // by hand: 3 × (20 + 0.335) = 61.005 → 61.01; a tenth 6.101 → 6.10; together 67.11
  expect(first).toMatchObject({
    alternatives: [
      { net: { likely: '61.01' }, contingency: { likely: '6.10' }, total: { likely: '67.11' } },
    ],
  });
  expect(await answer(archive.keeper.get(`${path}/progress`), 200)).toMatchObject({
    minutesExpected: { low: 60, likely: 60, high: 60 },
  });
  const more = {
    ...BODY,
    stage: 'second',
    alternatives: [{ name: 'in place', lines: [{ ...LINE, quantity: exactly(5) }] }],
  };
  await answer(archive.keeper.post(`${path}/estimates`, more), 201);
  // by hand: 5 × 20.335 = 101.675 → 101.68, a tenth 10.17, together 111.85; less 67.11
  expect(await answer(archive.keeper.get(`${path}/estimates`), 200)).toMatchObject({
    items: [{ stage: 'second' }, { stage: 'first' }],
    variation: { lines: [{ what: 'bond', minutes: 40, cost: '40.67' }], total: '44.74' },
  });
  const pdf = await archive.keeper.get(`/v1/estimates/${first.estimateId}/pdf`);
  expect(pdf.status).toBe(200);
  expect((pdf.body as Buffer).subarray(0, 5).toString()).toBe('%PDF-');
});

it('readers see neither hours nor prices', async () => {
  const reader = await archive.person('reader', 'reader', site.siteId);
  // who allows the work from outside may be no more than that
  const owner = await archive.person('owner', 'approver', site.siteId);
  for (const outside of [reader, owner]) {
    await answer(outside.get(`${path}/estimates`), 403);
    await answer(outside.get(`${path}/quantities`), 403);
  }
  await answer(reader.post(`${path}/estimates`, BODY), 403);
});

it('a phone paired for recording brings nobody further in than who paired it', async () => {
  const phoneOf = async (person: Person) => {
    const { secret } = await answer<{ secret: string }>(
      person.post('/v1/pairings', { name: 'phone', siteId: site.siteId, role: 'recorder' }),
      201,
    );
    const told = await archive.anyone.post('/v1/session', { pairing: secret });
    expect(told.status).toBe(201);
    const [sent] = told.headers['set-cookie'] as unknown as string[];
    return new Person(archive.url, { Cookie: sent!.split(';')[0]! });
  };
  const outside = await phoneOf(await archive.person('client', 'approver', site.siteId));
  await answer(outside.get(`${path}/estimates`), 403);
  await answer(outside.get(`${path}/quantities`), 403);
  await answer(outside.get(`${path}/time`), 403);
  expect(await answer(outside.get(`${path}/progress`), 200)).toMatchObject({
    minutesDone: null,
    minutesExpected: null,
  });
  const inside = await phoneOf(archive.keeper);
  await answer(inside.get(`${path}/estimates`), 200);
});

it('quantities come from what is drawn, and for the rest from its area', async () => {
  const panel = `/v1/panels/${site.panels['1a']!}/nets`;
  await answer(
    archive.keeper.post(panel, { sketch: twoPieces(), note: 'by hand' }, { 'If-Match': '0' }),
    201,
  );
  const told = await answer<{
    drawn: {
      panels: number;
      pieces: number;
      leadMetres: number;
      areaM2: number;
      leadByWidth: { widthMm: number; metres: number }[];
      glassM2: number;
      glassKg: number;
    };
    densities: Record<string, { likely: number }>;
    undrawn: { panels: number; areaM2: number; expected: Record<string, { likely: number }> };
    densitiesFrom: number;
  }>(archive.keeper.get(`${path}/quantities`), 200);
  // two pieces of 200 × 300 between centre lines: 2 × (400 + 300) round them and 300 between, mm
  expect(told.drawn).toMatchObject({ panels: 1, pieces: 2, leadMetres: 1.7 });
  expect(told.drawn.leadByWidth.reduce((sum, { metres }) => sum + metres, 0)).toBeCloseTo(1.7, 6);
  // Glass of 3 mm at 2500 kg/m³ (EN 572-1, from memory) weighs 7.5 kg on a square metre.
  expect(told.drawn.glassKg).toBeCloseTo(told.drawn.glassM2 * 7.5, 9);
  expect(told.drawn.glassM2).toBeLessThan(told.drawn.areaM2);
  expect(told.densities['pieces']!.likely).toBeCloseTo(2 / told.drawn.areaM2, 6);
  expect(told.undrawn.panels).toBe(1);
  // a panel 480 × 600 mm
  expect(told.undrawn.areaM2).toBeCloseTo(0.288, 3);
  expect(told.undrawn.expected['pieces']!.likely).toBeCloseTo((0.288 * 2) / told.drawn.areaM2, 6);
  expect(told.densitiesFrom).toBe(1);
});

it('minutes are learned from campaigns that are closed, with how many those were', async () => {
  // 20, 40 and 90 minutes on two panels each: 10, 20 and 45 a panel. By the definition that
  // libs/estimate names: median 20, a tenth of the way 10 + 0.2 × 10 = 12, nine tenths 20 + 0.8 × 25 = 40.
  const works = [[20, 40], [90], [1000]];
  for (const [i, minutes] of works.entries()) {
    const { campaignId } = await answer<{ campaignId: string }>(
      archive.keeper.post(`/v1/sites/${site.siteId}/campaigns`, {
        title: `year ${i + 1}`,
        scope: ['wI.1a'],
        happened: '2020',
      }),
      201,
    );
    for (const took of minutes) {
      const { interventionId } = await answer<{ interventionId: string }>(
        archive.keeper.post(`/v1/sites/${site.siteId}/interventions`, {
          campaignId,
          operation: 'clean.dry',
          happened: '2020-05',
          subjects: ['wI.1a', 'wI.2a'],
          materials: [],
          images: [],
        }),
        201,
      );
      await answer(
        archive.keeper.post(`/v1/campaigns/${campaignId}/time`, {
          interventionId,
          minutes: took,
          task: 'clean.dry',
          happened: '2020-05',
        }),
        201,
      );
    }
    const { items } = await answer<{ items: { flagId: string }[] }>(
      archive.keeper.get(`/v1/sites/${site.siteId}/flags?state=open&campaignId=${campaignId}`),
      200,
    );
    for (const { flagId } of items) {
      await answer(archive.keeper.post(`/v1/flags/${flagId}/answer`, { reason: 'agreed' }), 200);
    }
    // the last one stays open: nothing is learned from it yet
    if (i === works.length - 1) break;
    const close = `/v1/campaigns/${campaignId}/close`;
    await answer(archive.keeper.post(close, { happened: '2020-06' }), 200);
  }
  const { minutes } = await answer<{ minutes: unknown[] }>(
    archive.keeper.get(`${path}/quantities`),
    200,
  );
  expect(minutes).toEqual([
    {
      operation: 'clean.dry',
      minutesPerMark: { low: 12, likely: 20, high: 40 },
      from: 3,
      campaigns: 2,
    },
  ]);
});
