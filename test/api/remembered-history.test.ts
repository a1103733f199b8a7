/**
 * The browser remembers: a studio opened in Chromium on an archive whose history is then rewritten,
 * hashed anew and signed with the archive's own key.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { openNote, parseCheckpoint, verifierKey } from '#libs/ledger';
import { barriers } from '../e2e/support/accessible.js';
import {
  look,
  openBrowser,
  openPage,
  type SizeName,
  sizes,
  type Watched,
} from '../e2e/support/browser.js';
import { saved } from '../e2e/support/saved.js';
import { type ApiArchive, answer, startApiArchive, twoPieces } from '../support/api-archive.js';
import { rewriteHistory } from '../support/rewrite-history.js';

jest.setTimeout(240_000);

const studioDir = new URL('../../dist/apps/studio/', import.meta.url).pathname;

const files = mkdtempSync(join(tmpdir(), 'mullion-remembered-'));
let archive: ApiArchive;
let browser: Browser;
let watched: Watched;
let page: Page;
let mediaId: string;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  if (!existsSync(studioDir))
    throw new Error('dist/apps/studio is not built: npm run build:studio');
  archive = await startApiArchive({ MULLION_STUDIO_DIR: studioDir });
  site = await archive.site('SLM');
  const panel = `/v1/panels/${site.panels['1a']!}`;
  await archive.keeper
    .post(`${panel}/nets`, { sketch: twoPieces(), note: 'by hand' }, { 'If-Match': '"0"' })
    .expect(201);
  await archive.keeper
    .post(`${panel}/findings`, {
      term: 'glass.crack.simple',
      geometry: {
        kind: 'line',
        xyMm: [
          [20, 20],
          [150, 200],
        ],
      },
      face: 'inside',
      note: 'runs from the lower edge',
      happened: '2026-11-24',
    })
    .expect(201);
  await archive.keeper
    .post(`/v1/sites/${site.siteId}/interventions`, {
      subjects: ['wI.1a'],
      operation: 'bond.epoxy',
      happened: '1931~',
    })
    .expect(201);
  const sent = await fetch(
    `${archive.url}/v1/sites/${site.siteId}/media?fileName=rubbing.jpg&kind=rubbing&stage=before&subjects=wI.1a`,
    {
      method: 'PUT',
      headers: { Cookie: archive.cookie, 'Content-Type': 'image/jpeg' },
      body: readFileSync(new URL('../../fixtures/rubbings/easy/rubbing.jpg', import.meta.url)),
    },
  );
  ({ mediaId } = (await sent.json()) as { mediaId: string });
  const corners = [
    [0, 0],
    [400, 0],
    [400, 300],
    [0, 300],
  ] as const;
  const points = corners.map(([x, y]) => ({
    imageXyPx: [100 + 2 * x, 100 + 2 * y],
    panelXyMm: [x, y],
  }));
  await archive.keeper.put(`${panel}/placements/${mediaId}`, { points }).expect(200);
  browser = await openBrowser();
  watched = await openPage(browser, 'desk');
  page = watched.page;
  page.setDefaultTimeout(40_000);
  const [name, value] = archive.cookie.split('=') as [string, string];
  await page.context().addCookies([{ name, value, url: archive.url }]);
});
afterAll(async () => {
  await browser.close();
  await archive.close();
  rmSync(files, { recursive: true, force: true });
});
afterEach(() => {
  expect(watched.errors).toEqual([]);
});

const atSizes = async (name: string) => {
  for (const size of Object.keys(sizes) as SizeName[]) {
    await page.setViewportSize(sizes[size]);
    await look(page, `${name}-${size}`);
    expect(await barriers(page)).toEqual([]);
    const isWide = await page.evaluate(
      () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
    );
    expect(isWide).toBe(false);
  }
  await page.setViewportSize(sizes.desk);
};

const proof = () => page.getByRole('dialog');

it('proves a finding here, in the browser, and says that the key is not known', async () => {
  await page.goto(`${archive.url}/at/SLM.wI.1a`);
  await page
    .getByRole('article', { name: 'Findings' })
    .getByRole('button', { name: /crack/i })
    .click();
  await page
    .getByRole('article', { name: 'Findings' })
    .getByRole('button', { name: /^Proof of entry \d+$/ })
    .press('Enter');
  await proof().getByText('Consistent with itself, key not known to you.').waitFor();
  await proof().getByText('How to check it without this program').click();
  await atSizes('proof-unknown');
});

it('saves files that another program checks', async () => {
  const entry = await saved(
    page,
    () => proof().getByRole('button', { name: 'Save entry and proof' }).click(),
    files,
  );
  const bytes = readFileSync(entry);
  expect(JSON.parse(bytes.toString())).toMatchObject({ type: 'finding.record' });
  const told = await proof().locator('.commands .print').first().textContent();
  const leaf = createHash('sha256')
    .update(Buffer.concat([Buffer.of(0), bytes]))
    .digest('hex');
  expect(told).toBe(leaf);
});

it('is verified once the person has compared the fingerprint', async () => {
  const { fingerprint } = (
    await answer<{ verifierKey: { fingerprint: string } }>(archive.keeper.get('/v1/logs'), 200)
  ).verifierKey;
  const field = proof().getByLabel(/^Fingerprint/);
  await field.fill('7K3Q-9F2M');
  await proof().getByRole('button', { name: 'Compare' }).click();
  await proof().getByRole('alert').getByText('28 letters and digits').waitFor();
  await field.fill(fingerprint.toLowerCase());
  await field.press('Enter');
  await proof().getByText(`Verified against fingerprint ${fingerprint}.`).waitFor();
  await atSizes('proof-verified');
  await page.keyboard.press('Escape');
  await proof().waitFor({ state: 'detached' });
});

it('proves work done too', async () => {
  await page.goto(`${archive.url}/at/SLM.wI.1a/work`);
  await page
    .getByRole('button', { name: /^Proof of entry/ })
    .first()
    .click();
  await proof().getByText('Verified against fingerprint').waitFor();
  await page.keyboard.press('Escape');
});

it('proves the picture under the drawing', async () => {
  await page.goto(`${archive.url}/at/SLM.wI.1a?photo=${mediaId}`);
  const strip = page.getByRole('complementary', { name: 'Pictures of this panel' });
  await strip.getByRole('button', { name: /^Proof of entry/ }).waitFor();
  await atSizes('proof-of-picture');
  await strip.getByRole('button', { name: /^Proof of entry/ }).click();
  await proof().getByText('Verified against fingerprint').waitFor();
  await proof().getByText('media.attach').waitFor();
  await page.keyboard.press('Escape');
});

it('lets one go on while the history grows', async () => {
  await archive.keeper
    .post(`/v1/sites/${site.siteId}/aliases`, {
      mark: 'wI',
      scheme: 'x',
      text: 'no. 4',
      source: 's',
    })
    .expect(201);
  await page.goto(`${archive.url}/at/SLM`);
  await page.getByRole('button', { name: 'leave' }).waitFor();
});

it('stops when the history was rewritten, though everything is signed by the right key', async () => {
  await rewriteHistory(archive.ownerUrl, {
    logId: site.siteId,
    seq: 2,
    keyFile: archive.config.keyFile,
  });
  // the rewritten log is consistent with itself: its checkpoint opens with the archive's key
  const logs = await answer<{
    verifierKey: { publicKey: string };
    items: { logId: string; origin: string; rootHash: string }[];
  }>(archive.keeper.get('/v1/logs'), 200);
  const log = logs.items.find(({ logId }) => logId === site.siteId)!;
  const key = verifierKey(
    log.origin,
    new Uint8Array(Buffer.from(logs.verifierKey.publicKey, 'base64')),
  );
  const note = (await archive.keeper.get(`/v1/logs/${site.siteId}/checkpoint`).expect(200)).text;
  const opened = openNote(note, [key]);
  expect(opened.verified).toHaveLength(1);
  expect(Buffer.from(parseCheckpoint(opened.text).root).toString('base64')).toBe(log.rootHash);

  await page.goto(`${archive.url}/at/SLM`);
  await page.getByRole('heading', { name: /^Altered: this archive cannot prove/ }).waitFor();
  await page.getByRole('alert').getByText('cannot prove that its history contains').waitFor();
  expect(await page.getByRole('button', { name: 'leave' }).count()).toBe(0);
  await atSizes('stop-rewritten');
  const kept = await saved(
    page,
    () => page.getByRole('button', { name: 'Save the kept checkpoint' }).click(),
    files,
  );
  const keptNote = openNote(readFileSync(kept, 'utf8'), [key]);
  expect(keptNote.verified).toHaveLength(1);
  expect(parseCheckpoint(keptNote.text).root).not.toEqual(parseCheckpoint(opened.text).root);
  // asked again it is still so, and also at another page
  await page.getByRole('button', { name: 'Ask the archive again' }).click();
  await page.goto(`${archive.url}/at/SLM.wI.1a`);
  await page.getByRole('heading', { name: /^Altered: this archive cannot prove/ }).waitFor();
});

it('a browser that was never here cannot know, and is let in', async () => {
  const other = await openPage(browser, 'phone');
  const [name, value] = archive.cookie.split('=') as [string, string];
  await other.page.context().addCookies([{ name, value, url: archive.url }]);
  await other.page.goto(`${archive.url}/at/SLM`);
  await other.page.getByRole('button', { name: 'leave' }).waitFor();
});
