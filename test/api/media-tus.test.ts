import { createHash, randomBytes } from 'node:crypto';
import { readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { Upload } from 'tus-js-client';
import { startServer } from '../../apps/server/src/start-server.js';
import { imageBytes, type MediaArchive, startMediaArchive } from '../support/media-archive.js';
import { askUpload, beginUpload, openPart, sendPart, TUS } from '../support/tus-client.js';

let archive: MediaArchive;
beforeAll(async () => {
  archive = await startMediaArchive({ MULLION_MAX_UPLOAD_BYTES: '8000000' });
}, 60_000);
afterAll(() => archive.close());

function begin(lengthBytes: number | string, fields: Record<string, string> = {}, headers = {}) {
  const said = { siteId: archive.siteId, fileName: 'a.jpg', kind: 'photograph', ...fields };
  return beginUpload(archive.keeper, lengthBytes, said, headers);
}

async function begun(lengthBytes: number, fields: Record<string, string> = {}): Promise<string> {
  const response = await begin(lengthBytes, fields);
  expect(response.status).toBe(201);
  return response.headers.get('location')!;
}

const patch = (place: string, offset: number, body: Uint8Array, headers = {}) =>
  sendPart(archive.keeper, place, offset, body, headers);
const head = (place: string) => askUpload(archive.keeper, place);

/** Noise does not compress: a picture of about 1 MB that nobody sent before. */
function freshPicture(): Promise<Buffer> {
  const raw = { width: 640, height: 480, channels: 3 as const };
  return sharp(randomBytes(640 * 480 * 3), { raw })
    .png()
    .toBuffer();
}

const sha256 = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest();

describe('a client that is not ours (tus-js-client)', () => {
  it.each([
    ['in one go', Infinity],
    ['in parts', 100_000],
  ])('uploads %s', async (_how, chunkSize) => {
    const bytes = await freshPicture();
    const answer = await new Promise<{ header(name: string): string | undefined }>(
      (resolve, reject) => {
        let last: { header(name: string): string | undefined } | undefined;
        new Upload(bytes, {
          endpoint: `${archive.keeper.url}/v1/uploads`,
          chunkSize,
          headers: { Cookie: archive.keeper.cookie },
          metadata: {
            siteId: archive.siteId,
            fileName: 'noise.png',
            kind: 'photograph',
            subjects: 'wI.1a',
          },
          retryDelays: null,
          onAfterResponse: (_request, response) => {
            last = { header: (name) => response.getHeader(name) };
          },
          onSuccess: () => {
            resolve(last!);
          },
          onError: reject,
        }).start();
      },
    );
    const digest = `sha256:${sha256(bytes).toString('hex')}`;
    expect(answer.header('Mullion-Digest')).toBe(digest);
    expect(answer.header('Mullion-Entry')).toMatch(new RegExp(`^${archive.siteId}/\\d+$`));
    const mediaId = answer.header('Mullion-Media-Id')!;
    const media = await archive.keeper.json('GET', `/v1/media/${mediaId}`);
    expect(media.body).toMatchObject({ digest, subjects: ['SLM.wI.1a'], fileName: 'noise.png' });
  });
});

// What follows goes by the words of tus 1.0 (tus.io/protocols/resumable-upload)
describe('the protocol', () => {
  it('OPTIONS tells version, extensions, algorithms and size', async () => {
    const response = await archive.keeper.fetch('/v1/uploads', { method: 'OPTIONS' });
    expect(response.status).toBe(204);
    expect(response.headers.get('tus-version')).toBe('1.0.0');
    expect(response.headers.get('tus-extension')!.split(',').sort()).toEqual([
      'checksum',
      'creation',
      'expiration',
      'termination',
    ]);
    expect(response.headers.get('tus-checksum-algorithm')!.split(',')).toContain('sha1');
    expect(response.headers.get('tus-max-size')).toBe('8000000');
  });

  it('412 with Tus-Version where another version is spoken', async () => {
    const response = await begin(10, {}, { 'Tus-Resumable': '0.2.2' });
    expect(response.status).toBe(412);
    expect(response.headers.get('tus-version')).toBe('1.0.0');
  });

  it('HEAD tells the offset, is never cached, and every answer carries Tus-Resumable', async () => {
    const place = await begun(1000);
    const response = await head(place);
    expect(response.status).toBe(200);
    expect(response.headers.get('upload-offset')).toBe('0');
    expect(response.headers.get('upload-length')).toBe('1000');
    expect(response.headers.get('cache-control')).toContain('no-store');
    expect(response.headers.get('tus-resumable')).toBe('1.0.0');
    const expires = Date.parse(response.headers.get('upload-expires')!);
    expect(expires).toBeGreaterThan(Date.now());
  });

  it('PATCH answers 204 with the new offset, 409 at another offset, 415 as another type', async () => {
    const place = await begun(1000);
    const first = await patch(place, 0, randomBytes(400));
    expect([first.status, first.headers.get('upload-offset')]).toEqual([204, '400']);
    const wrong = await patch(place, 0, randomBytes(400));
    expect(wrong.status).toBe(409);
    expect((await head(place)).headers.get('upload-offset')).toBe('400');
    const typed = await patch(place, 400, randomBytes(10), { 'Content-Type': 'image/png' });
    expect(typed.status).toBe(415);
  });

  it.each(['sha1', 'sha256'])('keeps a part whose %s is right', async (algorithm) => {
    const place = await begun(1000);
    const part = randomBytes(300);
    const digest = createHash(algorithm).update(part).digest('base64');
    const right = await patch(place, 0, part, { 'Upload-Checksum': `${algorithm} ${digest}` });
    expect([right.status, right.headers.get('upload-offset')]).toEqual([204, '300']);
  });

  it('460 discards a part whose checksum is wrong; 400 for an unknown algorithm', async () => {
    const place = await begun(1000);
    await patch(place, 0, randomBytes(100));
    const digest = createHash('sha1').update('other').digest('base64');
    const wrong = await patch(place, 100, randomBytes(300), {
      'Upload-Checksum': `sha1 ${digest}`,
    });
    expect(wrong.status).toBe(460);
    expect((await head(place)).headers.get('upload-offset')).toBe('100');
    const unknown = await patch(place, 100, randomBytes(3), { 'Upload-Checksum': 'md5 abcd' });
    expect(unknown.status).toBe(400);
    expect((await head(place)).headers.get('upload-offset')).toBe('100');
  });

  it('the whole is right after a part was discarded', async () => {
    const bytes = await freshPicture();
    const place = await begun(bytes.length);
    await patch(place, 0, bytes.subarray(0, 5000));
    const digest = createHash('sha1').update('other').digest('base64');
    await patch(place, 5000, randomBytes(3000), { 'Upload-Checksum': `sha1 ${digest}` });
    const last = await patch(place, 5000, bytes.subarray(5000));
    expect(last.status).toBe(204);
    expect(last.headers.get('mullion-digest')).toBe(`sha256:${sha256(bytes).toString('hex')}`);
  });

  it('413 over the limit, 400 without a length', async () => {
    expect((await begin(8_000_001)).status).toBe(413);
    expect((await begin('many')).status).toBe(400);
    expect((await begin(0)).status).toBe(400);
  });

  it('never takes more than the announced length', async () => {
    const place = await begun(100);
    const response = await patch(place, 0, randomBytes(200));
    expect(response.status).toBe(413);
    const state = await head(place);
    expect(Number(state.headers.get('upload-offset'))).toBeLessThanOrEqual(100);
    expect(state.headers.get('mullion-media-id')).toBeNull();
  });

  it('DELETE ends an upload; then it is unknown', async () => {
    const before = await archive.counts();
    const place = await begun(1000);
    await patch(place, 0, randomBytes(10));
    const ended = await archive.keeper.fetch(place, { method: 'DELETE', headers: TUS });
    expect(ended.status).toBe(204);
    expect((await head(place)).status).toBe(404);
    expect(await archive.counts()).toEqual(before);
  });

  it('403 for a part after the last; HEAD still tells where it stands', async () => {
    const bytes = await freshPicture();
    const place = await begun(bytes.length);
    const last = await patch(place, 0, bytes);
    expect(last.status).toBe(204);
    expect((await patch(place, bytes.length, randomBytes(1))).status).toBe(403);
    const state = await head(place);
    expect(state.headers.get('upload-offset')).toBe(String(bytes.length));
    expect(state.headers.get('mullion-media-id')).toBe(last.headers.get('mullion-media-id'));
    expect(state.headers.get('mullion-entry')).toBe(last.headers.get('mullion-entry'));
  });
});

describe('an upload that nobody went on with', () => {
  it('is cleared away after the time that Upload-Expires told', async () => {
    const before = await archive.counts();
    const place = await begun(1000);
    await patch(place, 0, randomBytes(10));
    const expires = Date.parse((await head(place)).headers.get('upload-expires')!);
    const sevenDays = 7 * 24 * 60 * 60 * 1000;
    expect(Math.abs(expires - Date.now() - sevenDays)).toBeLessThan(60_000);
    await archive.pool.query(
      `UPDATE upload SET started_at = now() - interval '7 days 1 minute' WHERE upload_id = $1`,
      [place.split('/').at(-1)],
    );
    const other = await startServer(archive.config);
    await other.close();
    expect((await head(place)).status).toBe(404);
    expect(await archive.counts()).toEqual(before);
  }, 30_000);
});

describe('a line that breaks', () => {
  it('keeps what arrived, and the rest completes it', async () => {
    const bytes = await freshPicture();
    const place = await begun(bytes.length);
    const half = Math.floor(bytes.length / 2);
    await brokenPatch(place, bytes.subarray(0, half), bytes.length);
    const offset = Number((await head(place)).headers.get('upload-offset'));
    expect(offset).toBe(half);
    const last = await patch(place, offset, bytes.subarray(offset));
    expect(last.headers.get('mullion-digest')).toBe(`sha256:${sha256(bytes).toString('hex')}`);
  });

  it('keeps nothing of a part with a checksum', async () => {
    const bytes = await freshPicture();
    const place = await begun(bytes.length);
    const checksum = `sha256 ${sha256(bytes).toString('base64')}`;
    await brokenPatch(place, bytes.subarray(0, 1000), bytes.length, {
      'Upload-Checksum': checksum,
    });
    expect((await head(place)).headers.get('upload-offset')).toBe('0');
  });

  it('lets a newcomer in while the old line still hangs', async () => {
    const bytes = await freshPicture();
    const place = await begun(bytes.length);
    const hanging = await openPart(archive.keeper, place, 0, {
      sent: bytes.subarray(0, 2000),
      announcedBytes: bytes.length,
    });
    await untilPartOf(2000);
    const offset = Number((await head(place)).headers.get('upload-offset'));
    expect(offset).toBe(2000);
    const last = await patch(place, offset, bytes.subarray(offset));
    expect(last.status).toBe(204);
    hanging.cut();
  });
});

describe('a database that goes away at the last part,', () => {
  it.each([
    ['while it is looked up whether the file may come in', 'withdrawn_object'],
    ['while the entry is written', 'media'],
  ])('%s: the same upload is attached once it is back', async (_when, table) => {
    const bytes = await freshPicture();
    const place = await begun(bytes.length);
    const holder = await archive.pool.connect();
    await holder.query(`BEGIN; LOCK TABLE ${table} IN ACCESS EXCLUSIVE MODE`);
    const last = patch(place, 0, bytes);
    await endWhoWaits().finally(async () => {
      await holder.query('COMMIT');
      holder.release();
    });
    const answer = await last;
    expect(answer.status).toBe(503);
    expect(await answer.json()).toMatchObject({ type: '/problems/archive-unavailable' });

    const after = await head(place);
    expect([after.status, after.headers.get('mullion-digest')]).toEqual([
      200,
      `sha256:${sha256(bytes).toString('hex')}`,
    ]);
  });

  it('begins anew under the same address when the folder of uploads was lost', async () => {
    const bytes = await freshPicture();
    const place = await begun(bytes.length);
    expect((await patch(place, 0, bytes.subarray(0, 5000))).status).toBe(204);
    await rm(join(archive.config.home, 'uploads', place.split('/').at(-1)!));
    expect((await head(place)).headers.get('upload-offset')).toBe('0');
    expect((await patch(place, 0, bytes)).status).toBe(204);
    expect((await head(place)).headers.get('mullion-media-id')).not.toBeNull();
  });
});

/** Ends, as a database that is shut down does, whoever waits for a lock; asked outside its transaction, which sees one state. */
async function endWhoWaits(): Promise<void> {
  for (let tries = 0; tries < 1000; tries++) {
    const { rows } = await archive.pool.query(
      `SELECT pg_terminate_backend(pid) FROM pg_stat_activity
       WHERE datname = current_database() AND cardinality(pg_blocking_pids(pid)) > 0`,
    );
    if (rows.length > 0) return;
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  throw new Error('nobody came to wait for the lock');
}

describe('refusals', () => {
  it.each([
    [{ siteId: 'x' }, 400, 'siteId'],
    [{ siteId: '018f3a5e-7b1c-7c3d-8e4f-0a1b2c3d4e5f' }, 404, undefined],
    [{ kind: 'painting' }, 400, 'kind'],
    [{ subjects: 'wI.9z' }, 422, 'subjects[0]'],
    [{ happened: 'yesterday' }, 422, 'happened'],
    [{ light: 'raking', clockHour: '25' }, 400, 'clockHour'],
    [{ colour: 'red' }, 400, 'Upload-Metadata'],
  ])('of %j come before any byte is sent', async (fields, status, field) => {
    const before = await archive.counts();
    const response = await begin(1000, fields);
    const body = (await response.json()) as { field?: string };
    expect([response.status, body.field]).toEqual([status, field]);
    expect(await archive.counts()).toEqual(before);
  });

  it('of the file come with the last part, and the upload is gone', async () => {
    const before = await archive.counts();
    const bytes = imageBytes('truncated.jpg');
    const place = await begun(bytes.length);
    const last = await patch(place, 0, bytes);
    expect(last.status).toBe(422);
    expect(await last.json()).toMatchObject({
      type: '/problems/file-refused',
      field: 'file',
      fault: 'file-damaged',
    });
    expect((await head(place)).status).toBe(404);
    expect(await archive.counts()).toEqual(before);
  });

  it('of a stranger look as if there were no upload', async () => {
    const place = await begun(1000);
    const response = await fetch(`${archive.keeper.url}${place}`, { method: 'HEAD', headers: TUS });
    expect(response.status).toBe(401);
  });
});

/** Waits for a file of that many bytes among the uploads under way. */
async function untilPartOf(sizeBytes: number): Promise<void> {
  const folder = join(archive.config.home, 'uploads');
  for (let tries = 0; tries < 200; tries++) {
    const names = await readdir(folder);
    const sizes = await Promise.all(
      names.map(async (name) => (await stat(join(folder, name))).size),
    );
    if (sizes.includes(sizeBytes)) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`no upload of ${sizeBytes} bytes in ${folder} after ten seconds`);
}

async function brokenPatch(
  place: string,
  bytes: Uint8Array,
  lengthBytes: number,
  headers: Record<string, string> = {},
): Promise<void> {
  const part = await openPart(
    archive.keeper,
    place,
    0,
    { sent: bytes, announcedBytes: lengthBytes },
    headers,
  );
  await new Promise((resolve) => setTimeout(resolve, 200));
  part.cut();
}

describe('a sender that may lose every answer', () => {
  const key = () => ({ 'Idempotency-Key': crypto.randomUUID() });

  it('gets the same upload again for the same key, and attaches its file once', async () => {
    const bytes = await freshPicture();
    const hex = sha256(bytes).toString('hex');
    const headers = key();
    const first = await begin(bytes.length, { sha256: hex }, headers);
    const place = first.headers.get('location')!;
    await patch(place, 0, bytes.subarray(0, 1000));

    const again = await begin(bytes.length, { sha256: hex }, headers);
    expect(again.status).toBe(201);
    expect(again.headers.get('location')).toBe(place);
    expect(again.headers.get('upload-offset')).toBe('1000');

    const done = await patch(place, 1000, bytes.subarray(1000));
    expect(done.headers.get('mullion-digest')).toBe(`sha256:${hex}`);
    const afterwards = await begin(bytes.length, { sha256: hex }, headers);
    expect(afterwards.headers.get('mullion-entry')).toBe(done.headers.get('mullion-entry'));
    expect(afterwards.headers.get('mullion-media-id')).toBe(done.headers.get('mullion-media-id'));
  });

  it('refuses the key for another file', async () => {
    const headers = key();
    await begin(1000, {}, headers);
    const other = await begin(1001, {}, headers);
    expect(other.status).toBe(422);
    expect(((await other.json()) as { type: string }).type).toContain('idempotency-key-reused');
  });

  it('attaches nothing when other bytes arrive than were announced', async () => {
    const bytes = await freshPicture();
    const announced = sha256(Buffer.from('other bytes')).toString('hex');
    const place = (await begin(bytes.length, { sha256: announced })).headers.get('location')!;
    const refused = await patch(place, 0, bytes);
    expect(((await refused.json()) as { detail: string }).detail).toMatch(/not the ones announced/);
    expect((await head(place)).status).toBe(404);
  });
});
