/** Every room in German, as a browser shows it whose person speaks German. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import { openPage, type SizeName } from './support/browser.js';
import { type Chapel, openChapel } from './support/chapel.js';
import { rooms } from './support/rooms.js';
import { sound } from './support/sound.js';
import { wordsLeft } from './support/words-left.js';

jest.setTimeout(420_000);

/** What the archive of this test was told in English: names, titles, notes. */
const data = ['west window', 'lozenges', 'Sallowmere Chapel', 'Studio head', 'glass', 'glazier'];

let chapel: Chapel;

beforeAll(async () => {
  chapel = await openChapel();
});
afterAll(() => chapel.close());

async function holds(page: Page, name: string, size: SizeName): Promise<void> {
  await sound(page, `german-${name}-${size}`);
  expect({ name, english: await wordsLeft(page, data) }).toEqual({ name, english: [] });
}

describe.each<SizeName>(['desk', 'phone'])('on the %s', (size) => {
  let page: Page;
  let errors: string[];
  beforeAll(async () => {
    ({ page, errors } = await openPage(chapel.browser, size, 'de-DE'));
    page.setDefaultTimeout(60_000);
  });
  afterEach(() => {
    expect(errors).toEqual([]);
  });

  it('the door', async () => {
    await page.goto(chapel.origin);
    await page.getByText('Eintreten').waitFor();
    expect(await page.evaluate('document.documentElement.lang')).toBe('de');
    await holds(page, 'door', size);
    await chapel.keeper.enter(page.context());
  });

  it.each(rooms.map(({ name }) => name))('the room: %s', async (name) => {
    const { path, stands } = rooms.find((room) => room.name === name)!;
    await page.goto(chapel.origin + path);
    await page.getByText(stands.de).first().waitFor({ state: 'attached' });
    await page.locator('main [aria-busy=true]').first().waitFor({ state: 'detached' });
    await holds(page, name, size);
  });
});

it('speaks the language that was chosen, and keeps it', async () => {
  const { page } = await openPage(chapel.browser, 'desk', 'fr-FR');
  await page.goto(chapel.origin);
  await page.getByRole('button', { name: 'Deutsch' }).click();
  await page.getByRole('heading', { name: 'Eintreten' }).waitFor();
  await page.reload();
  await page.getByRole('heading', { name: 'Eintreten' }).waitFor();
  await page.getByRole('button', { name: 'English' }).click();
  await page.getByRole('heading', { name: 'Come in' }).waitFor();
});
