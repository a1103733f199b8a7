/** The first run through the screens: the recovery sheet is printed, put away and destroyed here. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import jsQR from 'jsqr';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type SizeName, type Watched } from './support/browser.js';
import { startByScreens } from './support/keeper.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';

jest.setTimeout(240_000);

describe.each<SizeName>(['desk', 'phone'])('the recovery sheet on a %s', (size) => {
  let mullion: RunningMullion;
  let browser: Browser;
  let watched: Watched;
  let page: Page;
  let words: string[] = [];
  const files = mkdtempSync(join(tmpdir(), 'mullion-sheet-'));

  beforeAll(async () => {
    [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
    watched = await openPage(browser, size);
    page = watched.page;
    page.setDefaultTimeout(20_000);
  });
  afterAll(async () => {
    await browser.close();
    await mullion.stop();
    rmSync(files, { recursive: true, force: true });
  });
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });

  it('comes right after the first keeper', async () => {
    await page.goto(mullion.welcome);
    await startByScreens(page);
    await page.getByRole('heading', { name: 'Print the recovery sheet' }).waitFor();
    expect(new URL(page.url()).pathname).toBe('/recovery-sheet');
    expect(await barriers(page)).toEqual([]);
    await look(page, `sheet-1-print-${size}`);
  });

  it('may wait, and the start page says so until it is done', async () => {
    await page.getByRole('link', { name: 'Later' }).click();
    await page.getByRole('heading', { name: 'An empty wall' }).waitFor();
    await page.getByText('The recovery sheet is not printed yet.').waitFor();
    expect(await barriers(page)).toEqual([]);
    await look(page, `sheet-2-reminder-${size}`);
    await page.getByRole('link', { name: 'Print the recovery sheet' }).click();
  });

  it('shows its words only when asked, and a code that another program reads', async () => {
    const show = page.getByRole('button', { name: /Show the words/ });
    await show.focus();
    await page.keyboard.press('Enter');
    const list = page.getByRole('list', { name: 'The words' });
    words = await list.locator('b').allTextContents();
    expect(words).toHaveLength(24);
    const code = page.getByRole('img', { name: 'The same words as a QR code' });
    await code.scrollIntoViewIfNeeded();
    const { data, info } = await sharp(await code.screenshot())
      .resize({ width: 800, kernel: 'nearest' })
      .ensureAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const read = jsQR.default(new Uint8ClampedArray(data), info.width, info.height);
    expect(read?.data).toBe(words.join(' '));
    expect(await barriers(page)).toEqual([]);
    await look(page, `sheet-3-words-${size}`);
    const pdf = await page.request.get(`${mullion.origin}/v1/archive/recovery-sheet.pdf`);
    expect(pdf.headers()['content-type']).toBe('application/pdf');
    const folder = process.env['MULLION_SCREENSHOTS'];
    if (folder !== undefined) {
      writeFileSync(join(folder, 'recovery-sheet.pdf'), await pdf.body());
    }
  });

  it('asks for two of them with none on the screen, and refuses a wrong one', async () => {
    await page.getByRole('button', { name: 'It is printed' }).click();
    await page.getByRole('heading', { name: 'Two words from the page' }).waitFor();
    expect(await page.getByRole('list', { name: 'The words' }).count()).toBe(0);
    const fields = page.getByRole('textbox', { name: /^Word \d+$/ });
    const labels = await page.locator('form.paper label').allTextContents();
    const numbers = labels.map((label) => Number(/\d+/.exec(label)?.[0]));
    await fields.nth(0).fill(words[numbers[0]! - 1]!);
    await fields.nth(1).fill('heron');
    await page.keyboard.press('Enter');
    await page
      .getByRole('alert')
      .filter({ hasText: `Word ${numbers[1]!}` })
      .waitFor();
    expect(await barriers(page)).toEqual([]);
    await look(page, `sheet-4-type-${size}`);
    await fields.nth(1).fill(words[numbers[1]! - 1]!.toUpperCase());
    await page.getByRole('button', { name: 'Destroy the words here' }).click();
    await page.getByRole('heading', { name: 'The sheet is put away' }).waitFor();
    expect(await barriers(page)).toEqual([]);
    await look(page, `sheet-5-away-${size}`);
  });

  it('is gone then, and the start page is silent about it', async () => {
    await page.getByRole('link', { name: 'Go to the wall' }).click();
    await page.getByRole('heading', { name: 'An empty wall' }).waitFor();
    expect(await page.getByText('The recovery sheet is not printed yet.').count()).toBe(0);
    await page.goto(`${mullion.origin}/recovery-sheet`);
    await page.getByRole('heading', { name: 'The sheet is put away' }).waitFor();
    const gone = await page.request.get(`${mullion.origin}/v1/archive/recovery-sheet.pdf`);
    expect(gone.status()).toBe(410);
  });
});
