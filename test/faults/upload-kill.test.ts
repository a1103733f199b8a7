import { createHash, randomBytes } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { type KillableArchive, startKillableArchive } from '../support/killable-archive.js';
import { askUpload, beginUpload, openPart, sendPart } from '../support/tus-client.js';

let archive: KillableArchive;
beforeAll(async () => {
  archive = await startKillableArchive();
}, 120_000);
afterAll(() => archive.close());

async function freshPicture(): Promise<{ bytes: Buffer; digest: string }> {
  const raw = { width: 900, height: 900, channels: 3 as const };
  const bytes = await sharp(randomBytes(900 * 900 * 3), { raw })
    .png({ compressionLevel: 0 })
    .toBuffer();
  return { bytes, digest: `sha256:${createHash('sha256').update(bytes).digest('hex')}` };
}

async function begin(lengthBytes: number): Promise<string> {
  const said = { siteId: archive.siteId, fileName: 'a.png', kind: 'photograph', subjects: 'wI.1a' };
  return (await beginUpload(archive.keeper, lengthBytes, said)).headers.get('location')!;
}

const patch = (where: string, offset: number, body: Uint8Array) =>
  sendPart(archive.keeper, where, offset, body);
const head = (where: string) => askUpload(archive.keeper, where);

/** Sends a part whose end never comes. */
async function hangingPatch(
  where: string,
  offset: number,
  bytes: Uint8Array,
  headers: Record<string, string> = {},
): Promise<void> {
  const announcedBytes = bytes.length + 1_000_000;
  await openPart(archive.keeper, where, offset, { sent: bytes, announcedBytes }, headers);
  await new Promise((resolve) => setTimeout(resolve, 200));
}

async function mediaWith(digest: string): Promise<{ mediaId: string; entries: number }[]> {
  const { rows } = await archive.pool.query<{ mediaId: string; entries: number }>(
    `SELECT media_id AS "mediaId",
       (SELECT count(*)::int FROM entry e WHERE e.log_id = m.site_id::text AND e.seq = m.entry_seq) AS entries
     FROM media m WHERE digest = $1`,
    [digest],
  );
  return rows;
}

/** Ends an upload as a client does that lost its line: ask, send the rest, until it is attached. */
async function resume(where: string, bytes: Uint8Array): Promise<string> {
  for (let tries = 0; tries < 5; tries++) {
    const state = await head(where);
    expect(state.status).toBe(200);
    const mediaId = state.headers.get('mullion-media-id');
    if (mediaId !== null) return mediaId;
    const offset = Number(state.headers.get('upload-offset'));
    const answer = await patch(where, offset, bytes.subarray(offset));
    expect(answer.status).toBe(204);
  }
  throw new Error('the upload never ended');
}

describe('kill -9 of the server', () => {
  it('between and within parts loses nothing that was acknowledged', async () => {
    const { bytes, digest } = await freshPicture();
    const where = await begin(bytes.length);
    expect((await patch(where, 0, bytes.subarray(0, 1_000_000))).status).toBe(204);
    await archive.restartServer();
    expect((await head(where)).headers.get('upload-offset')).toBe('1000000');
    await hangingPatch(where, 1_000_000, bytes.subarray(1_000_000, 1_400_000));
    await archive.restartServer();
    const offset = Number((await head(where)).headers.get('upload-offset'));
    expect(offset).toBeGreaterThanOrEqual(1_000_000);
    const mediaId = await resume(where, bytes);
    expect(await mediaWith(digest)).toEqual([{ mediaId, entries: 1 }]);
  }, 120_000);

  it('within a part with a checksum forgets the part, which nobody had verified', async () => {
    const { bytes, digest } = await freshPicture();
    const where = await begin(bytes.length);
    expect((await patch(where, 0, bytes.subarray(0, 500_000))).status).toBe(204);
    const checksum = createHash('sha256').update(bytes.subarray(500_000)).digest('base64');
    await hangingPatch(where, 500_000, bytes.subarray(500_000, 900_000), {
      'Upload-Checksum': `sha256 ${checksum}`,
    });
    await archive.restartServer();
    expect((await head(where)).headers.get('upload-offset')).toBe('500000');
    const mediaId = await resume(where, bytes);
    expect(await mediaWith(digest)).toEqual([{ mediaId, entries: 1 }]);
  }, 120_000);

  it.each([5, 25, 50, 90, 150])(
    'about %i ms into the last part attaches once or not at all, and can be ended',
    async (afterMs) => {
      const { bytes, digest } = await freshPicture();
      const where = await begin(bytes.length);
      expect((await patch(where, 0, bytes.subarray(0, 2_000_000))).status).toBe(204);
      const last = patch(where, 2_000_000, bytes.subarray(2_000_000)).then(
        (response) => response.headers.get('mullion-media-id'),
        () => null, // the line broke with the server
      );
      await new Promise((resolve) => setTimeout(resolve, afterMs));
      await archive.restartServer();
      const acknowledged = await last;
      if (acknowledged !== null) {
        expect((await mediaWith(digest)).map((media) => media.mediaId)).toEqual([acknowledged]);
      }
      const mediaId = await resume(where, bytes);
      expect(await mediaWith(digest)).toEqual([{ mediaId, entries: 1 }]);
      const original = await archive.keeper.fetch(`/v1/media/${mediaId}/original`);
      expect(Buffer.from(await original.arrayBuffer()).equals(bytes)).toBe(true);
    },
    120_000,
  );

  it('leaves no half-written file once all uploads have ended', async () => {
    expect(await readdir(join(archive.home, 'uploads'))).toEqual([]);
    const incoming = join(archive.home, 'objects', 'incoming');
    for (const name of await readdir(incoming)) {
      // only the copy of a checkpoint, which no upload waits for, may be cut short and wait for the sweep
      const begin = (await readFile(join(incoming, name), 'utf8')).slice(0, 'mullion/'.length);
      expect('mullion/'.startsWith(begin)).toBe(true);
    }
  });
});
