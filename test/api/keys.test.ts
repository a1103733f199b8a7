import { renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { ArchiveKeys } from '#libs/archive';
import {
  base64Of,
  bytesOfBase64,
  KeyHistory,
  leafHash,
  parseEntry,
  verifyInclusion,
} from '#libs/ledger';
import { FileObjectStore } from '#libs/objects';
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';
import { Client, imageBytes } from '../support/media-archive.js';
import { askUpload, beginUpload, sendPart } from '../support/tus-client.js';

interface Keys {
  origin: string;
  keys: { fingerprint: string; sinceSeq: number; came: string; said: string | null }[];
  successor: { fingerprint: string; announcedAt: number } | null;
}
interface Sheet {
  sheet: { words: string[]; successor: string; fingerprint: string } | null;
}
interface State {
  archive: { fingerprint: string; keyChange: string | null };
  recoverySheetDue: boolean;
}

let archive: ApiArchive;
let keys: ArchiveKeys;
beforeAll(async () => {
  archive = await startApiArchive();
  const { home, keyFile } = archive.config;
  const objects = await FileObjectStore.open(join(home, 'objects'));
  keys = new ArchiveKeys({ pool: archive.pool, objects, keyFile, home });
}, 60_000);
afterAll(() => archive.close());

const state = (by = archive.keeper) => answer<State>(by.get('/v1/state'), 200);
const told = () => answer<Keys>(archive.keeper.get('/v1/archive/keys'), 200);
const sheetOf = () => answer<Sheet>(archive.keeper.get('/v1/archive/recovery-sheet'), 200);

describe('the recovery sheet', () => {
  const path = '/v1/archive/recovery-sheet';

  it('is shown to the keeper of the studio, who is reminded of it, and to nobody else', async () => {
    const { sheet } = await sheetOf();
    expect(sheet!.words).toHaveLength(24);
    expect(sheet!.successor).toBe((await told()).successor!.fingerprint);
    expect((await state()).recoverySheetDue).toBe(true);
    const { siteId } = await archive.site('SLM');
    const others = [
      await archive.person('approver', 'approver'),
      await archive.person('site-keeper', 'keeper', siteId),
    ];
    for (const other of others) {
      for (const ask of [other.get(path), other.get(`${path}.pdf`)]) {
        // A refusal may say one or two of them by chance, as 'hold'; never the sheet.
        const { text } = await ask.expect(403);
        expect(sheet!.words.filter((word) => text.includes(word)).length).toBeLessThan(4);
      }
      const words = [1, 2].map((number) => ({ number, word: sheet!.words[number - 1]! }));
      await other.post(`${path}/kept`, { words }).expect(403);
      expect((await state(other)).recoverySheetDue).toBe(false);
    }
    await archive.anyone.get(path).expect(401);
    expect((await state(archive.anyone)).recoverySheetDue).toBe(false);
  });

  it('is a page to print, kept in no cache', async () => {
    const { headers } = await archive.keeper.get(`${path}.pdf`).expect(200);
    expect(headers['content-type']).toBe('application/pdf');
    expect(headers['cache-control']).toContain('no-store');
  });

  it('stays until two of its words were typed back, then its words are destroyed', async () => {
    const { words } = (await sheetOf()).sheet!;
    const said = (...pairs: [number, string][]) => ({
      words: pairs.map(([number, word]) => ({ number, word })),
    });
    const wrong = await archive.keeper
      .post(`${path}/kept`, said([3, words[2]!], [20, 'zebra']))
      .expect(422);
    expect(wrong.body).toMatchObject({ type: '/problems/recovery-words-wrong', field: 'word 20' });
    for (const body of [
      said([3, words[2]!]),
      said([3, words[2]!], [3, words[2]!]),
      said([0, 'a'], [25, 'b']),
    ]) {
      await archive.keeper.post(`${path}/kept`, body).expect(400);
    }
    expect((await sheetOf()).sheet).not.toBeNull();
    const right = said([3, ` ${words[2]!.toUpperCase()} `], [20, words[19]!]);
    await archive.keeper.post(`${path}/kept`, right).expect(200);
    expect((await sheetOf()).sheet).toBeNull();
    expect((await state()).recoverySheetDue).toBe(false);
    const gone = await archive.keeper.get(`${path}.pdf`).expect(410);
    expect(gone.body).toMatchObject({ type: '/problems/recovery-sheet-gone' });
    await archive.keeper.post(`${path}/kept`, right).expect(410);
  });
});

describe('the keys of the archive', () => {
  it('are told one after the other, with how each came in force', async () => {
    const first = (await state()).archive.fingerprint;
    expect(await told()).toMatchObject({
      keys: [{ fingerprint: first, sinceSeq: 0, came: 'first', said: null }],
    });
    expect((await state()).archive.keyChange).toBeNull();
    const { to, seq } = await keys.rotate();
    expect((await told()).keys).toEqual([
      { fingerprint: first, sinceSeq: 0, came: 'first', said: null },
      {
        fingerprint: to,
        sinceSeq: seq,
        came: 'old',
        said: `the key was changed at entry ${seq}, signed by the key before it`,
      },
    ]);
    const after = await state();
    expect(after.archive.fingerprint).toBe(to);
    expect(after.archive.keyChange).toContain(`entry ${seq}`);
    await archive.site('OTH');
    await archive.anyone.get('/v1/archive/keys').expect(401);
  });

  it('are told of each log with entries that anybody can prove and follow', async () => {
    const { items: logs } = await answer<{ items: { logId: string; origin: string }[] }>(
      archive.keeper.get('/v1/logs'),
      200,
    );
    const { fingerprint } = (await state()).archive;
    for (const { logId, origin } of logs) {
      const { size, items } = await answer<{
        size: number;
        items: { seq: number; bytes: string; hashes: string[] }[];
      }>(archive.keeper.get(`/v1/logs/${logId}/keys`), 200);
      const { rootHash } = await answer<{ rootHash: string }>(
        archive.keeper.get(`/v1/logs/${logId}/proof?seq=0&size=${size}`),
        200,
      );
      const history = new KeyHistory(origin);
      for (const { seq, bytes, hashes } of items) {
        const entry = bytesOfBase64(bytes)!;
        const head = { size, root: bytesOfBase64(rootHash)! };
        const proof = hashes.map((hash) => bytesOfBase64(hash)!);
        expect(verifyInclusion(leafHash(entry), seq, head, proof)).toBe(true);
        expect(history.add(parseEntry(entry))).toBeUndefined();
      }
      expect(history.current!.fingerprint).toBe(fingerprint);
      expect(base64Of(history.announced!.publicKey)).toHaveLength(44);
    }
    await archive.keeper.get(`/v1/logs/studio/keys?size=99999`).expect(422);
  });

  it('stand in what is printed: the record names the key in force and the change', async () => {
    const { siteId } = await archive.site('REC');
    const { to } = await keys.rotate();
    const asked = `/v1/records/condition?subject=REC.wI.1a&siteId=${siteId}`;
    const { text } = await archive.keeper.get(`${asked}&format=json`);
    expect(text).toContain(to);
    expect(text).toMatch(/the key was changed at entry \d+, signed by the key before it/);
    const { text: html } = await archive.keeper.get(`${asked}&format=html`);
    expect(html).toContain('the key was changed at entry');
  });
});

describe('a server whose key is not in force', () => {
  it('refuses to write, says why, reads on, and writes again once the key is back', async () => {
    const { keyFile } = archive.config;
    const { to } = await keys.rotate();
    const lost = `${keyFile}.lost`;
    renameSync(keyFile, lost);
    const site = { code: 'LOS', name: 'Lost', scheme: 'church' };
    const { body } = await archive.keeper.post('/v1/sites', site).expect(503);
    expect(body).toMatchObject({ type: '/problems/key-not-in-force', inForce: to });
    expect((body as { detail: string }).detail).toContain('Nothing was written');
    expect((await state()).archive.fingerprint).toBe(to);
    renameSync(lost, keyFile);
    await archive.keeper.post('/v1/sites', site).expect(201);
    rmSync(lost, { force: true });
  });

  it('keeps an upload whose end it refused, so that it can be ended once the key is back', async () => {
    const { siteId } = await archive.site('UPL');
    const client = new Client(archive.url, archive.cookie);
    const bytes = imageBytes('quarters.png');
    const said = { siteId, fileName: 'quarters.png', kind: 'photograph' };
    const begun = await beginUpload(client, bytes.length, said);
    const path = begun.headers.get('location')!;
    const { keyFile } = archive.config;
    await keys.rotate();
    renameSync(keyFile, `${keyFile}.lost`);
    expect((await sendPart(client, path, 0, bytes)).status).toBe(503);
    renameSync(`${keyFile}.lost`, keyFile);
    const ended = await askUpload(client, path);
    expect(ended.status).toBe(200);
    expect(ended.headers.get('mullion-media-id')).not.toBeNull();
  });
});
