/** Phones that are paired: once, for a site and a role, until they are ended; each in the studio's log. */
import { Client, type MediaArchive, startMediaArchive } from '../support/media-archive.js';

let archive: MediaArchive;
beforeAll(async () => {
  archive = await startMediaArchive();
}, 60_000);
afterAll(() => archive.close());

interface Pairing {
  pairingId: string;
  secret: string;
}

async function code(role = 'recorder', siteId: string | null = archive.siteId): Promise<Pairing> {
  const made = await archive.keeper.json<Pairing>('POST', '/v1/pairings', {
    name: 'scaffold phone',
    siteId,
    role,
  });
  expect(made.status).toBe(201);
  return made.body;
}

async function paired(secret: string): Promise<{ status: number; phone: Client; body: unknown }> {
  const response = await fetch(`${archive.keeper.url}/v1/session`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ pairing: secret }),
  });
  const cookie = response.headers.get('set-cookie')?.split(';')[0] ?? '';
  return {
    status: response.status,
    phone: new Client(archive.keeper.url, cookie),
    body: await response.json(),
  };
}

const studioEntries = async (typeStart: string) =>
  (
    await archive.keeper.json<{ items: { type: string }[] }>(
      'GET',
      `/v1/logs/studio/entries?typeStart=${typeStart}`,
    )
  ).body.items;

it('signs in as the person, narrowed to the site and role that were stated, and says so in the history', async () => {
  const before = (await studioEntries('device.')).length;
  const { status, body } = await paired((await code()).secret);
  expect(status).toBe(201);
  expect(body).toMatchObject({ roles: [{ siteId: archive.siteId, role: 'recorder' }] });
  expect((await studioEntries('device.')).slice(before).map(({ type }) => type)).toEqual([
    'device.pair',
  ]);
});

it('takes a code once', async () => {
  const { secret, pairingId } = await code();
  expect((await paired(secret)).status).toBe(201);
  const again = await paired(secret);
  expect([again.status, (again.body as { type: string }).type]).toEqual([
    401,
    '/problems/link-spent',
  ]);
  const told = await archive.keeper.json<{ deviceId: string | null }>(
    'GET',
    `/v1/pairings/${pairingId}`,
  );
  expect(told.body.deviceId).not.toBeNull();
  expect((await paired('never-shown')).status).toBe(401);
});

it('opens no further doors: no password, token, phone, or keeper’s work', async () => {
  const { phone, body } = await paired((await code('conservator', null)).secret);
  const { personId } = body as { personId: string };
  const tries: [string, string, unknown][] = [
    ['POST', `/v1/people/${personId}/password`, { password: 'another long password' }],
    ['POST', '/v1/pairings', { name: 'x' }],
    [
      'POST',
      '/v1/tokens',
      { label: 'x', scope: ['read'], expiresAt: new Date(Date.now() + 1e6).toISOString() },
    ],
    ['GET', '/v1/people', undefined],
    ['POST', '/v1/sites', { code: 'XXX', name: 'Elsewhere', scheme: 'free' }],
  ];
  for (const [method, path, sent] of tries)
    expect([path, (await phone.json(method, path, sent)).status]).toEqual([path, 403]);
});

it('is ended by its keeper at once, once, and stays in the list as ended', async () => {
  const { phone } = await paired((await code()).secret);
  const { items } = (
    await archive.keeper.json<{ items: { deviceId: string; endedAt: string | null }[] }>(
      'GET',
      '/v1/devices',
    )
  ).body;
  const { deviceId } = items[0]!;
  expect((await phone.json('GET', '/v1/devices')).status).toBe(200);
  expect((await archive.keeper.json('POST', `/v1/devices/${deviceId}/end`, {})).status).toBe(200);
  expect((await phone.json('GET', '/v1/devices')).status).toBe(401);
  const after = await archive.keeper.json<{
    items: { deviceId: string; endedAt: string | null }[];
  }>('GET', '/v1/devices');
  expect(after.body.items.find((one) => one.deviceId === deviceId)?.endedAt).toMatch(/^\d{4}-/);
  const nobody = await archive.keeper.json('POST', `/v1/devices/${archive.siteId}/end`, {});
  expect(nobody.status).toBe(404);
});
