/** The register of materials: what came in, what work took, what a count found. */
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

interface Material {
  materialId: string;
  left: string;
  state: string;
  version: number;
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

const RESIN = { name: 'epoxy resin', batch: '31', unit: 'g', quantity: '10' };

it('work takes from a batch exactly, in decimals, and more than there was is kept', async () => {
  const { materialId } = await answer<Material>(archive.keeper.post('/v1/materials', RESIN), 201);
  const take = (quantity: string) =>
    answer<{ materials: { name: string; batch: string }[]; material: string }>(
      archive.keeper.post(`/v1/sites/${site.siteId}/interventions`, {
        subjects: ['wI.1a'],
        operation: 'bond.epoxy',
        happened: '2026-03-02',
        materials: [{ materialId, quantity }],
      }),
      201,
    );
  expect(await take('0.1')).toMatchObject({
    material: 'epoxy resin',
    materials: [{ name: 'epoxy resin', batch: '31', unit: 'g', quantity: '0.1' }],
  });
  await take('0.2');
  const left = async () =>
    (await answer<{ items: Material[] }>(archive.keeper.get('/v1/materials'), 200)).items.find(
      (one) => one.materialId === materialId,
    )!.left;
  // 10 − 0.1 − 0.2 in binary floating numbers is 9.700000000000001 (IEEE 754)
  expect(await left()).toBe('9.7');
  await take('12');
  expect(await left()).toBe('-2.3');
});

it('a count sets what is left, whatever was taken, and a retired batch leaves the list', async () => {
  const { materialId, version } = await answer<Material>(
    archive.keeper.post('/v1/materials', { ...RESIN, batch: '32' }),
    201,
  );
  const path = `/v1/materials/${materialId}/count`;
  await answer(archive.keeper.post(path, { quantity: '4' }, { 'If-Match': '999' }), 412);
  expect(
    await answer(archive.keeper.post(path, { quantity: '4.5' }, { 'If-Match': `${version}` }), 200),
  ).toMatchObject({ left: '4.5', state: 'in-use' });
  await answer(archive.keeper.post(path, { quantity: '0', isRetired: true }), 200);
  const { items } = await answer<{ items: Material[] }>(archive.keeper.get('/v1/materials'), 200);
  expect(items.map((one) => one.materialId)).not.toContain(materialId);
});

it.each([
  ['no quantity', { ...RESIN, quantity: undefined }, 400],
  ['a floating number', { ...RESIN, quantity: 10 }, 400],
  ['a day that is none', { ...RESIN, expires: 'next year' }, 422],
])('a batch with %s is refused', async (_what, body, status) => {
  await answer(archive.keeper.post('/v1/materials', body), status);
});

it('an unknown batch is refused, and who may only read sees no register', async () => {
  const nobody = '/v1/materials/019abcde-0000-7000-8000-000000000000/count';
  await answer(archive.keeper.post(nobody, { quantity: '1' }), 422);
  const reader = await archive.person('reader', 'reader', site.siteId);
  await answer(reader.get('/v1/materials'), 403);
  await answer(reader.post('/v1/materials', RESIN), 403);
});
