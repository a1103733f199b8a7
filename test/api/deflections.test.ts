/** Readings of bulges: from a string line and from a total station, their figures, chart and change. */
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

interface Deflection {
  deflectionId: string;
  figures: { maximumMm: { value: number; sigma: number }; atMm: [number, number] };
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

/** The panel is 480 × 600 mm; a dome of a given rise on it, read every 60 mm. */
function dome(riseMm: number): [number, number, number][] {
  return Array.from({ length: 9 * 11 }, (_, i) => {
    const [x, y] = [(i % 9) * 60, Math.floor(i / 9) * 60];
    return [x, y, riseMm * Math.sin((Math.PI * x) / 480) * Math.sin((Math.PI * y) / 600)];
  });
}

const said = {
  datum: 'string-line',
  face: 'inside',
  sense: 'out',
  noiseMm: 0.3,
  happened: '2026-05',
};
const path = (mark = '1a') => `/v1/panels/${site.panels[mark]!}/deflections`;

it.each([
  ['no readings at all', said, 400],
  ['both ways at once', { ...said, readings: dome(5), csv: { text: '1,2,3', unit: 'mm' } }, 400],
  ['too few', { ...said, readings: dome(5).slice(0, 5) }, 422],
  [
    'readings off the panel',
    { ...said, readings: dome(5).map(([x, y, z]) => [x * 10, y, z]) },
    422,
  ],
  ['readings of one corner only', { ...said, readings: dome(5).slice(0, 20) }, 422],
  ['a table with words in it', { ...said, csv: { text: 'x,y,z\n1,2,far', unit: 'mm' } }, 422],
  ['two corners of four', { ...said, csv: { text: 'TL,0,0,0\nTR,1,0,0\n', unit: 'mm' } }, 422],
  ['a noise of nothing', { ...said, noiseMm: 0, readings: dome(5) }, 400],
  ['a day that is none', { ...said, readings: dome(5), happened: 'lately' }, 422],
])('refuses %s', async (_what, body, status) => {
  await answer(archive.keeper.post(path(), body), status);
  expect(await answer(archive.keeper.get(path()), 200)).toMatchObject({ items: [] });
});

it('finds rise and place of a dome, whichever side the datum stood', async () => {
  const inside = await answer<Deflection>(
    archive.keeper.post(path(), { ...said, readings: dome(12), happened: '2020-05' }),
    201,
  );
  expect(Math.abs(inside.figures.maximumMm.value - 12)).toBeLessThan(0.2);
  expect(Math.hypot(inside.figures.atMm[0] - 240, inside.figures.atMm[1] - 300)).toBeLessThan(15);
  // A line 50 mm off the outside: the glass that stands inwards is farther from it.
  const outside = await answer<Deflection>(
    archive.keeper.post(path(), {
      ...said,
      face: 'outside',
      sense: 'distance',
      readings: dome(12).map(([x, y, z]) => [x, y, 50 + z]),
      happened: '2021-05',
    }),
    201,
  );
  expect(outside.figures.maximumMm.value).toBeCloseTo(inside.figures.maximumMm.value, 1);
  const chart = await archive.keeper.get(`/v1/deflections/${outside.deflectionId}/chart.svg`);
  expect(chart.status).toBe(200);
  expect(chart.headers['content-type']).toContain('image/svg+xml');
  expect(
    await answer(archive.keeper.get(`/v1/deflections/${outside.deflectionId}/change`), 200),
  ).toMatchObject({ since: { happened: '2020-05' }, change: { isMoreThanNoise: false } });
  const grown = await answer<Deflection>(
    archive.keeper.post(path(), { ...said, readings: dome(15), happened: '2026-05' }),
    201,
  );
  const changes = `/v1/deflections/${grown.deflectionId}/change`;
  expect(await answer(archive.keeper.get(changes), 200)).toMatchObject({
    since: { happened: '2021-05' },
    change: { isMoreThanNoise: true },
  });
  const withdraw = `/v1/deflections/${outside.deflectionId}/withdraw`;
  await answer(archive.keeper.post(withdraw, { reason: 'wrong panel' }), 200);
  await answer(archive.keeper.post(withdraw, { reason: 'again' }), 409);
  expect(await answer(archive.keeper.get(changes), 200)).toMatchObject({
    since: { happened: '2020-05' },
  });
});

it('lays points of a total station on the panel by three named corners', async () => {
  // Metres, turned by 30° in plan, the panel standing upright on a wall far from the station's zero.
  const [cos, sin] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
  const space = ([x, y, out]: readonly [number, number, number]) =>
    [105 + (x * cos - out * -sin) / 1000, 40 + (x * sin + out * -cos) / 1000, 12 - y / 1000].map(
      (value) => value.toFixed(5),
    );
  const rows = [
    ['name', 'E', 'N', 'H'],
    ['TL', ...space([0, 0, 0])],
    ['TR', ...space([480, 0, 0])],
    ['BL', ...space([0, 600, 0])],
    ...dome(9).map((reading, i) => [`p${i}`, ...space(reading)]),
  ];
  const read = await answer<Deflection>(
    archive.keeper.post(path('1b'), {
      ...said,
      datum: 'total-station',
      csv: { text: rows.map((row) => row.join(';')).join('\r\n'), unit: 'm' },
    }),
    201,
  );
  expect(Math.abs(read.figures.maximumMm.value - 9)).toBeLessThan(0.2);
  expect(Math.hypot(read.figures.atMm[0] - 240, read.figures.atMm[1] - 300)).toBeLessThan(15);
  const reader = await archive.person('reader', 'reader', site.siteId);
  await answer(reader.post(path('1b'), { ...said, readings: dome(9) }), 403);
});
