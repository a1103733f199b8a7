/** The start page tells the studio's keeper when the archive was last copied, and when that fails. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type SizeName, type Watched } from './support/browser.js';
import { startByScreens } from './support/keeper.js';
import { built, type RunningMullion, startMullion } from './support/running-mullion.js';

jest.setTimeout(240_000);

describe.each<SizeName>(['desk', 'phone'])('safekeeping on a %s', (size) => {
  let mullion: RunningMullion;
  let browser: Browser;
  let watched: Watched;
  let page: Page;
  const folder = mkdtempSync(join(tmpdir(), 'mullion-kept-'));

  beforeAll(async () => {
    [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
    watched = await openPage(browser, size);
    page = watched.page;
    page.setDefaultTimeout(20_000);
    await page.goto(mullion.welcome);
    await startByScreens(page);
    await page.getByRole('link', { name: 'Later' }).click();
    await page.getByRole('heading', { name: 'An empty wall' }).waitFor();
  });
  afterAll(async () => {
    await browser.close();
    await mullion.stop();
    rmSync(folder, { recursive: true, force: true });
  });
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });

  const kept = () => page.getByRole('region', { name: 'Safekeeping' });
  const shown = async (name: string) => {
    expect(await barriers(page)).toEqual([]);
    if (size === 'phone') await page.getByRole('button', { name: 'pull up the records' }).click();
    await kept().scrollIntoViewIfNeeded();
    await look(page, `${name}-${size}`);
  };

  it('says that there is no backup, and what to do', async () => {
    await kept().getByText('No backup yet').waitFor();
    expect(await kept().textContent()).toMatch(/To do: mullion admin backup FOLDER/);
    // there is nothing that a drill could restore
    expect(await kept().textContent()).not.toMatch(/restored|tried/);
    await shown('kept-1-none');
  });

  it('says when the last one was made, where, and that no restore was tried', async () => {
    const place = join(folder, 'a-second-disk-with-a-long-name', 'backup');
    mkdirSync(place, { recursive: true });
    await backUp(mullion.home, place);
    await page.reload();
    await kept().getByText(`Last backup less than a day ago, to ${place}.`).waitFor();
    expect(await kept().textContent()).toMatch(/No backup was ever restored/);
    await shown('kept-2-made');
  });

  it('stands out when a backup fails, and names what to do', async () => {
    // the answer is the archive's, with the trouble that a test of the API brings about for real
    await page.route('**/v1/backups/state', async (route) => {
      const answer = (await (await route.fetch()).json()) as Record<string, unknown>;
      const says =
        'The backup to /mnt/second/backup failed 3 times since 2026-11-20. No space is left in /mnt/second/backup: nothing was kept. Make room, then do it again. The last one was made 5 days ago.';
      const doThis = 'see to that place; mullion admin backup /mnt/second/backup tries at once';
      await route.fulfill({ json: { ...answer, state: 'failing', says, doThis } });
    });
    await page.reload();
    const alarm = page.getByRole('note').filter({ hasText: 'failed 3 times' });
    await alarm.waitFor();
    expect(await alarm.textContent()).toMatch(/To do: see to that place/);
    await shown('kept-3-failing');
  });
});

async function backUp(home: string, place: string): Promise<void> {
  const child = spawn(
    process.execPath,
    [join(built, 'tools', 'mullion.mjs'), 'admin', 'backup', place, '--home', home],
    { env: { ...process.env, NODE_OPTIONS: '' }, stdio: ['ignore', 'ignore', 'pipe'] },
  );
  let said = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => (said += text));
  const [status] = (await once(child, 'close')) as [number | null];
  expect({ status, said }).toMatchObject({ status: 0 });
}
