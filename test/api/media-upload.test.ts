import { createHash, randomBytes } from 'node:crypto';
import { request as httpRequest } from 'node:http';
import sharp from 'sharp';
import { rebuildProjections } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import {
  Client,
  imageBytes,
  type MediaArchive,
  startMediaArchive,
} from '../support/media-archive.js';

let archive: MediaArchive;
beforeAll(async () => {
  archive = await startMediaArchive({ MULLION_MAX_UPLOAD_BYTES: '3000000' });
}, 60_000);
afterAll(() => archive.close());

interface Media {
  mediaId: string;
  digest: string;
  already: string | null;
  notes: string[];
  entry: { logId: string; seq: number };
  version: number;
  subjects: string[];
  [field: string]: unknown;
}
interface Refusal {
  type: string;
  status: number;
  field?: string;
  fault?: string;
  detail: string;
}

// the caller says what the body is
// eslint-disable-next-line @typescript-eslint/no-unnecessary-type-parameters
async function put<T = Media>(
  bytes: Uint8Array,
  query: Record<string, string>,
  headers: Record<string, string> = {},
): Promise<{ status: number; body: T; headers: Headers }> {
  const response = await archive.keeper.fetch(
    `/v1/sites/${archive.siteId}/media?${new URLSearchParams(query).toString()}`,
    { method: 'PUT', body: bytes, headers: { 'Content-Type': 'image/jpeg', ...headers } },
  );
  return {
    status: response.status,
    body: (await response.json()) as T,
    headers: response.headers,
  };
}

/** A sound picture that nobody sent before. */
async function freshJpeg(): Promise<Buffer> {
  return sharp(randomBytes(40 * 30 * 3), { raw: { width: 40, height: 30, channels: 3 } })
    .jpeg()
    .toBuffer();
}

const said = { fileName: 'a.jpg', kind: 'photograph' };

describe('PUT /v1/sites/{siteId}/media', () => {
  it('stores, attaches and answers where it stands', async () => {
    const bytes = imageBytes('with-place.jpg');
    const { status, body, headers } = await put(bytes, {
      fileName: 'west window.jpg',
      kind: 'photograph',
      light: 'raking',
      clockHour: '9',
      elevationDeg: '20',
      stage: 'before',
      face: 'inside',
      subjects: 'wI.1a, SLM.wI.2a, wI.1a',
      author: 'Surveyor',
      happened: '2026-05-04',
      note: 'from the scaffold',
    });
    expect(status).toBe(201);
    expect(body).toMatchObject({
      digest: `sha256:${createHash('sha256').update(bytes).digest('hex')}`,
      fileName: 'west window.jpg',
      contentType: 'image/jpeg',
      widthPx: 96,
      heightPx: 64,
      kind: 'photograph',
      light: { kind: 'raking', clockHour: 9, elevationDeg: 20 },
      stage: 'before',
      face: 'inside',
      subjects: ['SLM.wI.1a', 'SLM.wI.2a'],
      author: 'Surveyor',
      happened: '2026-05-04',
      note: 'from the scaffold',
      exif: { keptInOriginal: ['place', 'serial numbers', 'names'] },
      pyramid: 'waiting',
      already: null,
    });
    expect(headers.get('etag')).toBe(`"${body.version}"`);
    const original = await archive.keeper.fetch(`/v1/media/${body.mediaId}/original`);
    expect(Buffer.from(await original.arrayBuffer())).toEqual(bytes);
    expect(original.headers.get('content-type')).toBe('image/jpeg');
    expect(original.headers.get('x-content-type-options')).toBe('nosniff');
  });

  it('writes neither place nor serial number into the ledger', async () => {
    const { body } = await put(imageBytes('with-place.jpg'), { ...said, subjects: 'wI' });
    const { rows } = await archive.pool.query<{ bytes: Buffer }>(
      'SELECT bytes FROM entry WHERE log_id = $1 AND seq = $2',
      [body.entry.logId, body.entry.seq],
    );
    const entry = rows[0]!.bytes.toString();
    expect(entry).toContain('Example Optics');
    expect(entry).not.toMatch(/000123|Nobody|GPS/);
  });

  it('answers the same bytes under the same marks from the archive', async () => {
    const bytes = await freshJpeg();
    const first = await put(bytes, { ...said, subjects: 'wI.1a' });
    const before = await archive.counts();
    const again = await put(bytes, { ...said, fileName: 'b.jpg', subjects: 'SLM.wI.1a' });
    expect(again.status).toBe(200);
    expect(again.body.mediaId).toBe(first.body.mediaId);
    expect(again.body.already).toBe(`already in the archive, entry ${first.body.entry.seq}`);
    expect(await archive.counts()).toEqual(before);
  });

  it('attaches the same bytes again under other marks, stored once', async () => {
    const bytes = await freshJpeg();
    const first = await put(bytes, { ...said, subjects: 'wI.1a' });
    const before = await archive.counts();
    const other = await put(bytes, { ...said, subjects: 'wI.2a' });
    expect(other.status).toBe(201);
    expect(other.body.mediaId).not.toBe(first.body.mediaId);
    const after = await archive.counts();
    expect(after['objects']).toBe(before['objects']);
    expect(after['media']).toBe(before['media']! + 1);
  });

  it('answers a retry with the same Idempotency-Key as the first time', async () => {
    const bytes = await freshJpeg();
    const headers = { 'Idempotency-Key': 'retry-1' };
    const first = await put(bytes, said, headers);
    const before = await archive.counts();
    const again = await put(bytes, said, headers);
    expect(again.status).toBe(201);
    expect(again.body.mediaId).toBe(first.body.mediaId);
    expect(await archive.counts()).toEqual(before);
  });

  it('takes bytes whose Content-Digest is right', async () => {
    const bytes = await freshJpeg();
    const digest = createHash('sha256').update(bytes).digest('base64');
    const { status } = await put(bytes, said, { 'Content-Digest': `sha-256=:${digest}:` });
    expect(status).toBe(201);
  });

  it('takes a document, and says what the name promised', async () => {
    const { status, body } = await put(imageBytes('page.pdf'), {
      fileName: 'plan.jpg',
      kind: 'drawing',
    });
    expect(status).toBe(201);
    expect(body).toMatchObject({ contentType: 'application/pdf', widthPx: null, pyramid: 'none' });
    expect(body.notes).toEqual([expect.stringContaining('promises jpeg, the content is pdf')]);
  });

  describe('refusals leave nothing behind', () => {
    const jpeg = imageBytes('quarters.jpg');
    const wrongDigest = createHash('sha256').update('other').digest('base64');
    type Case = [
      name: string,
      bytes: Uint8Array,
      query: Record<string, string>,
      headers: Record<string, string>,
      status: number,
      code: string,
      field: string,
    ];
    const file = (name: string, fault: string): Case => [
      `${name} (${fault})`,
      imageBytes(name),
      said,
      {},
      422,
      'file-refused',
      'file',
    ];
    it.each<Case>([
      file('empty.jpg', 'zero bytes'),
      file('truncated.jpg', 'broke off'),
      file('truncated.png', 'broke off'),
      file('truncated.tif', 'broke off'),
      file('truncated.pdf', 'broke off'),
      file('bomb.png', 'unpacks to 3.6 gigapixels'),
      file('animated.webp', 'two frames'),
      file('animated.png', 'two frames'),
      file('drawing.svg', 'not on the list'),
      file('animated.gif', 'not on the list'),
      file('no-preview.dng', 'nothing to show'),
      ['noise', randomBytes(5000), said, {}, 422, 'file-refused', 'file'],
      ['too many bytes', Buffer.alloc(3_000_001), said, {}, 413, 'body-too-large', 'file'],
      [
        'other bytes than announced',
        jpeg,
        said,
        { 'Content-Digest': `sha-256=:${wrongDigest}:` },
        400,
        'upload-digest-mismatch',
        'Content-Digest',
      ],
      [
        'a digest that cannot be read',
        jpeg,
        said,
        { 'Content-Digest': 'sha-256=x' },
        400,
        'request-invalid',
        'Content-Digest',
      ],
      ['no kind', jpeg, { fileName: 'a.jpg' }, {}, 400, 'request-invalid', 'kind'],
      ['no name', jpeg, { kind: 'photograph' }, {}, 400, 'request-invalid', 'fileName'],
      ['an unknown field', jpeg, { ...said, colour: 'red' }, {}, 400, 'request-invalid', 'query'],
      ['an unknown light', jpeg, { ...said, light: 'moon' }, {}, 400, 'request-invalid', 'light'],
      [
        'raking light from nowhere',
        jpeg,
        { ...said, light: 'raking' },
        {},
        400,
        'request-invalid',
        'clockHour',
      ],
      ['no date', jpeg, { ...said, happened: '1870-13' }, {}, 422, 'date-invalid', 'happened'],
      [
        'a mark that nothing bears',
        jpeg,
        { ...said, subjects: 'wI.1a,wI.9z' },
        {},
        422,
        'subject-unknown',
        'subjects[1]',
      ],
      ['no mark', jpeg, { ...said, subjects: 'x..y' }, {}, 422, 'mark-invalid', 'subjects[0]'],
      [
        'a PDF as photograph',
        imageBytes('page.pdf'),
        { ...said, note: 'another' },
        {},
        400,
        'request-invalid',
        'kind',
      ],
      [
        'JSON',
        Buffer.from('{}'),
        said,
        { 'Content-Type': 'application/json' },
        415,
        'media-type-unsupported',
        'Content-Type',
      ],
    ])('%s', async (_name, bytes, query, headers, status, code, field) => {
      const before = await archive.counts();
      const refusal = await put<Refusal>(bytes, query, headers);
      expect(refusal.status).toBe(status);
      expect(refusal.headers.get('content-type')).toMatch(/^application\/problem\+json/);
      expect(refusal.body).toMatchObject({ type: `/problems/${code}`, status, field });
      expect(refusal.body.detail).toMatch(/\./);
      expect(await archive.counts()).toEqual(before);
    });

    it('a body that ends before its length', async () => {
      const before = await archive.counts();
      await new Promise<void>((resolve) => {
        const url = new URL(archive.keeper.url);
        const request = httpRequest({
          host: url.hostname,
          port: url.port,
          method: 'PUT',
          path: `/v1/sites/${archive.siteId}/media?fileName=a.jpg&kind=photograph`,
          headers: {
            Cookie: archive.keeper.cookie,
            'Content-Type': 'image/jpeg',
            'Content-Length': 5000,
          },
        });
        request.on('error', () => {
          resolve();
        });
        request.write(jpeg, () => setTimeout(() => request.destroy(), 100));
      });
      await waitFor(async () => (await archive.counts())['halfWritten'] === before['halfWritten']);
      expect(await archive.counts()).toEqual(before);
    });

    it('somebody without a role, who is not told that the site is there', async () => {
      const person = await archive.keeper.json<{ personId: string }>('POST', '/v1/people', {
        displayName: 'Visitor',
        login: 'visitor',
        password: 'another long pass phrase',
      });
      expect(person.status).toBe(201);
      const signedIn = await fetch(`${archive.keeper.url}/v1/session`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ login: 'visitor', password: 'another long pass phrase' }),
      });
      const cookie = signedIn.headers.get('set-cookie')!.split(';')[0]!;
      const before = await archive.counts();
      const visitor = new Client(archive.keeper.url, cookie);
      const response = await visitor.fetch(
        `/v1/sites/${archive.siteId}/media?fileName=a.jpg&kind=photograph`,
        { method: 'PUT', body: jpeg, headers: { 'Content-Type': 'image/jpeg' } },
      );
      expect(response.status).toBe(404);
      const { rows } = await archive.pool.query<{ mediaId: string }>(
        'SELECT media_id AS "mediaId" FROM media LIMIT 1',
      );
      for (const path of [
        `/v1/media/${rows[0]!.mediaId}`,
        `/v1/media/${rows[0]!.mediaId}/original`,
        `/iiif/3/${rows[0]!.mediaId}/info.json`,
        `/v1/sites/${archive.siteId}/media`,
      ]) {
        const read = await visitor.fetch(path);
        expect([path, read.status]).toEqual([path, 404]);
        expect((await fetch(`${archive.keeper.url}${path}`)).status).toBe(401);
      }
      expect(await archive.counts()).toEqual(before);
    });
  });
});

describe('reading media', () => {
  it('answers one, lists by subject, kind and stage, in pages', async () => {
    const site = await archive.keeper.json<{ items: Media[]; next: string | null }>(
      'GET',
      `/v1/sites/${archive.siteId}/media?limit=2`,
    );
    expect(site.body.items).toHaveLength(2);
    const seen = [...site.body.items];
    for (let next = site.body.next; next !== null; ) {
      const page = await archive.keeper.json<{ items: Media[]; next: string | null }>(
        'GET',
        `/v1/sites/${archive.siteId}/media?limit=2&after=${next}`,
      );
      seen.push(...page.body.items);
      next = page.body.next;
    }
    const ids = seen.map((media) => media.mediaId);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.length).toBe((await archive.counts())['media']);

    const below = await archive.keeper.json<{ items: Media[] }>(
      'GET',
      `/v1/sites/${archive.siteId}/media?subject=wI.2a`,
    );
    expect(below.body.items.length).toBeGreaterThan(0);
    expect(below.body.items.every((media) => media.subjects.includes('SLM.wI.2a'))).toBe(true);
    const drawings = await archive.keeper.json<{ items: Media[] }>(
      'GET',
      `/v1/sites/${archive.siteId}/media?kind=drawing`,
    );
    expect(drawings.body.items.map((media) => media['kind'])).toEqual(['drawing']);

    const one = await archive.keeper.json<Media>('GET', `/v1/media/${ids[0]!}`);
    expect(one.body.mediaId).toBe(ids[0]);
    expect(one.headers.get('etag')).toBe(`"${one.body.version}"`);
  });

  it('answers parts of the original and knows what the reader has', async () => {
    const bytes = await freshJpeg();
    const { body } = await put(bytes, said);
    const path = `/v1/media/${body.mediaId}/original`;
    const part = await archive.keeper.fetch(path, { headers: { Range: 'bytes=10-19' } });
    expect(part.status).toBe(206);
    expect(part.headers.get('content-range')).toBe(`bytes 10-19/${bytes.length}`);
    expect(Buffer.from(await part.arrayBuffer())).toEqual(bytes.subarray(10, 20));
    const outside = await archive.keeper.fetch(path, { headers: { Range: 'bytes=9999999-' } });
    expect(outside.status).toBe(416);
    expect(outside.headers.get('content-range')).toBe(`bytes */${bytes.length}`);
    const etag = part.headers.get('etag')!;
    const known = await archive.keeper.fetch(path, { headers: { 'If-None-Match': etag } });
    expect(known.status).toBe(304);
    const digest = createHash('sha256').update(bytes).digest('base64');
    expect(part.headers.get('repr-digest')).toBe(`sha-256=:${digest}:`);
  });

  it('describes anew under the version that was read, else says how to go on', async () => {
    const { body } = await put(await freshJpeg(), said);
    const path = `/v1/media/${body.mediaId}`;
    const better = { kind: 'rubbing', stage: 'during', subjects: ['wI.1a'], note: 'second try' };
    expect((await archive.keeper.json('PUT', path, better)).status).toBe(428);
    const stale = await archive.keeper.json<Refusal & { currentVersion: number }>(
      'PUT',
      path,
      better,
      { 'If-Match': '"99999"' },
    );
    expect([stale.status, stale.body.currentVersion]).toEqual([412, body.version]);
    const done = await archive.keeper.json<Media>('PUT', path, better, {
      'If-Match': `"${body.version}"`,
    });
    expect(done.status).toBe(200);
    expect(done.body).toMatchObject({
      kind: 'rubbing',
      stage: 'during',
      subjects: ['SLM.wI.1a'],
      note: 'second try',
    });
    expect(done.body.version).toBeGreaterThan(body.version);
    expect(done.body.digest).toBe(body.digest);
  });
});

describe('a rebuild from the ledger', () => {
  it('gives the same rows of media and search', async () => {
    const rows = async () =>
      (
        await archive.pool.query<{ media: string; found: string }>(
          `SELECT (SELECT json_agg(m ORDER BY media_id)::text FROM media m) AS media,
                  (SELECT json_agg(s ORDER BY row_id)::text FROM search_row s WHERE kind = 'media') AS found`,
        )
      ).rows[0]!;
    const before = await rows();
    expect(before.media.length).toBeGreaterThan(1000);
    await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
    expect(await rows()).toEqual(before);
  });
});

async function waitFor(isSo: () => Promise<boolean>): Promise<void> {
  for (let tries = 0; tries < 100; tries++) {
    if (await isSo()) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error('waited 5 s in vain');
}
