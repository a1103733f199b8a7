/**
 * An archive that came back from an older backup, seen by browsers that remember more: they show what
 * they keep, the archive opens a new epoch, and says what was lost. And the two stops beside it: one
 * that cannot prove its history, and another archive at the same address.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { freePort } from '../support/free-port.js';
import { addSite, Client } from '../support/media-archive.js';
import { mullion } from '../support/run-command.js';
import { type RunningMullion, runMullion } from '../support/running-mullion.js';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type SizeName, type Watched } from './support/browser.js';
import { startByScreens } from './support/keeper.js';
import { saved } from './support/saved.js';

jest.setTimeout(240_000);

const PASSPHRASE = { env: { MULLION_BACKUP_PASSPHRASE: 'five quarries under the ivy' } };
const folder = mkdtempSync(join(tmpdir(), 'mullion-set-back-'));
const at = (name: string) => join(folder, name);

let port: number;
let running: RunningMullion;
let browser: Browser;
let keeper: Client;
let siteId: string;
const watched = new Map<SizeName, Watched>();
const pages = (): [SizeName, Page][] => [...watched].map(([size, { page }]) => [size, page]);

const start = async (home: string) => {
  running = await runMullion(at(home), ['--port', String(port)]);
};

beforeAll(async () => {
  [port, browser] = await Promise.all([freePort(), openBrowser()]);
  for (const size of ['desk', 'phone'] as const) watched.set(size, await openPage(browser, size));
  for (const [, page] of pages()) page.setDefaultTimeout(20_000);
  await start('home');
});
afterAll(async () => {
  await browser.close();
  await running.stop();
  rmSync(folder, { recursive: true, force: true });
});
afterEach(() => {
  for (const { errors } of watched.values()) expect(errors).toEqual([]);
});

async function beFirstKeeper(page: Page): Promise<void> {
  // From elsewhere: at the same address a new fragment alone loads nothing.
  await page.goto('about:blank');
  await page.goto(`${running.origin}/#welcome=${running.token}`);
  await startByScreens(page);
}

async function describeSite(name: string): Promise<void> {
  const { body } = await keeper.json<{ version: number }>('GET', `/v1/sites/${siteId}`);
  const told = await keeper.json(
    'PUT',
    `/v1/sites/${siteId}`,
    { name, place: null },
    { 'If-Match': `"${body.version}"` },
  );
  expect(told.status).toBe(200);
}

/** Every page shows this heading, without a barrier, and is looked at. */
async function everywhere(heading: string, name: string): Promise<void> {
  for (const [size, page] of pages()) {
    await page.getByRole('heading', { name: heading }).waitFor();
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe(heading);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBe(0);
    expect(await barriers(page)).toEqual([]);
    await look(page, `${name}-${size}`);
  }
}

it('both browsers remember three entries that the backup does not know', async () => {
  const [[, desk], [, phone]] = pages() as [[SizeName, Page], [SizeName, Page]];
  await beFirstKeeper(desk);
  await desk.getByRole('heading', { name: 'Print the recovery sheet' }).waitFor();
  const cookies = await desk.context().cookies();
  await phone.context().addCookies(cookies);
  keeper = new Client(
    running.origin,
    cookies.map(({ name, value }) => `${name}=${value}`).join('; '),
  );
  ({ siteId } = await addSite(keeper));
  const made = await mullion(['admin', 'backup', at('disk'), '--home', at('home')], PASSPHRASE);
  expect(made).toMatchObject({ status: 0 });
  for (const name of ['One', 'Two', 'Three']) await describeSite(name);
  for (const [, page] of pages()) {
    await page.goto(`${running.origin}/at/SLM.wI?panel=1a`);
    await page.getByText(/In the archive, entry \d/).waitFor();
  }
  expect(await running.stop()).toBe(0);
});

it('show the restored archive what they keep, and it tells what was lost', async () => {
  const restored = await mullion(
    ['admin', 'restore', at('disk'), '--home', at('back')],
    PASSPHRASE,
  );
  expect(restored).toMatchObject({ status: 0 });
  await start('back');
  const shown: string[] = [];
  for (const [size, page] of pages()) {
    page.on('request', (request) => {
      if (request.method() === 'POST' && request.url().endsWith('/known')) shown.push(size);
    });
    await page.goto(running.origin);
    // the first makes it known; the second finds it told
    await page.getByRole('heading', { name: 'This archive came back from a backup' }).waitFor();
  }
  expect(shown).toEqual(['desk']);
  await everywhere('This archive came back from a backup', 'set-back-1-restored');
  for (const [, page] of pages()) {
    // site, window, announcement of the key; then the three
    await page.getByText('entries 3 to 5, 3 in all').waitFor();
    await page.getByText(/epoch 2, begun on/).waitFor();
  }
  const [, page] = pages()[0]!;
  const file = await saved(
    page,
    () => page.getByRole('button', { name: 'Save the kept checkpoint' }).click(),
    folder,
  );
  expect(readFileSync(file, 'utf8').split('\n')[1]).toBe('6');
});

it('let on then, and cite what is entered from here on by its epoch, with a proof', async () => {
  const { status } = await keeper.json('POST', `/v1/sites/${siteId}/interventions`, {
    subjects: ['wI.1a'],
    operation: 'bond.epoxy',
    happened: '1931~',
    detail: { batch: '7', parts: 2 },
  });
  expect(status).toBe(201);
  for (const [size, page] of pages()) {
    const go = page.getByRole('button', { name: 'I have read this, go on' });
    await go.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'This archive came back from a backup' }).waitFor({
      state: 'detached',
    });
    await page.goto(`${running.origin}/at/SLM.wI.1a/work`);
    await page.getByRole('button', { name: 'Proof of entry 2 of epoch 2' }).click();
    await page.getByRole('heading', { name: 'Entry 2 of epoch 2 of the site SLM' }).waitFor();
    await page.getByText('Consistent with itself, key not known to you.').waitFor();
    expect(await barriers(page)).toEqual([]);
    await look(page, `set-back-2-proof-${size}`);
  }
});

it('stop before an archive that cannot prove its history', async () => {
  await describeSite('After the restore');
  for (const [, page] of pages()) {
    // as somebody would answer who has other entries there
    await page.route('**/consistency?*', async (route) => {
      const answer = (await (await route.fetch()).json()) as { hashes: string[] };
      const hashes = answer.hashes.map((hash) => `AAAA${hash.slice(4)}`);
      await route.fulfill({ json: { ...answer, hashes } });
    });
    await page.goto(running.origin);
  }
  await everywhere('Altered: this archive cannot prove its history', 'set-back-3-refused');
  for (const [, page] of pages()) {
    expect(await page.getByRole('navigation').count()).toBe(0);
    await page.unroute('**/consistency?*');
    await page.getByRole('button', { name: 'Ask the archive again' }).click();
    await page.getByRole('heading', { name: /Altered/ }).waitFor({ state: 'detached' });
  }
});

it('stop before another archive at the same address, until its fingerprint was compared', async () => {
  expect(await running.stop()).toBe(0);
  await start('other');
  const [[, desk], [, phone]] = pages() as [[SizeName, Page], [SizeName, Page]];
  await beFirstKeeper(desk);
  await desk.getByRole('heading', { name: 'Another archive' }).waitFor();
  await phone.context().clearCookies();
  await phone.context().addCookies(await desk.context().cookies());
  await phone.goto(running.origin);
  await everywhere('Another archive answers at this address', 'set-back-4-another');
  const state = (await (await desk.request.get(`${running.origin}/v1/state`)).json()) as {
    archive: { fingerprint: string };
  };
  for (const [size, page] of pages()) {
    const field = page.getByLabel('Fingerprint, from paper or from the keeper');
    // RFC 8032 section 7.1, test 2: the fingerprint of a published key, of no archive
    await field.fill('SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9R');
    await page.keyboard.press('Enter');
    await page.getByRole('alert').filter({ hasText: 'Yours is another' }).waitFor();
    expect(await barriers(page)).toEqual([]);
    await look(page, `set-back-5-another-refused-${size}`);
    await field.fill(state.archive.fingerprint.toLowerCase());
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Another archive' }).waitFor({ state: 'detached' });
  }
});
