/** Every room in German, as a browser shows it whose person speaks German. */
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type SizeName } from './support/browser.js';
import { firstKeeper, type Keeper } from './support/keeper.js';
import { rooms } from './support/rooms.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';
import { sallowmereOf } from './support/sallowmere.js';
import { tooWide, wordsLeft } from './support/words-left.js';

jest.setTimeout(420_000);

/** What the archive of this test was told in English: names, titles, notes. */
const data = ['west window', 'lozenges', 'Sallowmere Chapel', 'Studio head', 'glass'];

let mullion: RunningMullion;
let browser: Browser;
let keeper: Keeper;

beforeAll(async () => {
  [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
  keeper = await firstKeeper(mullion);
  await sallowmereOf(keeper);
});
afterAll(async () => {
  await browser.close();
  await mullion.stop();
});

async function holds(page: Page, name: string, size: SizeName): Promise<void> {
  await look(page, `german-${name}-${size}`);
  expect({ name, english: await wordsLeft(page, data) }).toEqual({ name, english: [] });
  expect({ name, tooWide: await tooWide(page) }).toEqual({ name, tooWide: [] });
  expect({ name, barriers: await barriers(page) }).toEqual({ name, barriers: [] });
}

describe.each<SizeName>(['desk', 'phone'])('on the %s', (size) => {
  let page: Page;
  let errors: string[];
  beforeAll(async () => {
    ({ page, errors } = await openPage(browser, size, 'de-DE'));
    page.setDefaultTimeout(60_000);
  });
  afterEach(() => {
    expect(errors).toEqual([]);
  });

  it('the door', async () => {
    await page.goto(mullion.origin);
    await page.getByText('Eintreten').waitFor();
    expect(await page.evaluate('document.documentElement.lang')).toBe('de');
    await holds(page, 'door', size);
    await keeper.enter(page.context());
  });

  it.each(rooms.map(({ name }) => name))('the room: %s', async (name) => {
    const { path, stands } = rooms.find((room) => room.name === name)!;
    await page.goto(mullion.origin + path);
    await page.getByText(stands.de).first().waitFor({ state: 'attached' });
    await page.locator('main [aria-busy=true]').first().waitFor({ state: 'detached' });
    await holds(page, name, size);
  });
});

it('speaks the language that was chosen, and keeps it', async () => {
  const { page } = await openPage(browser, 'desk', 'fr-FR');
  await page.goto(mullion.origin);
  await page.getByRole('button', { name: 'Deutsch' }).click();
  await page.getByRole('heading', { name: 'Eintreten' }).waitFor();
  await page.reload();
  await page.getByRole('heading', { name: 'Eintreten' }).waitFor();
  await page.getByRole('button', { name: 'English' }).click();
  await page.getByRole('heading', { name: 'Come in' }).waitFor();
});
