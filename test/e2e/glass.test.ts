/** New work at the bench: from a cartoon's file to glass, cut list, cost and the record of what was made. */
import { readFileSync } from 'node:fs';
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import type { SizeName } from './support/browser.js';
import { type Chapel, openChapel } from './support/chapel.js';
import { sound } from './support/sound.js';

jest.setTimeout(240_000);

let chapel: Chapel;
let panelId: string;
const PATH = '/at/SLM.wI.11b/glass';

beforeAll(async () => {
  chapel = await openChapel();
  const { ask, post } = chapel.keeper;
  const site = await ask<{ siteId: string }>('/v1/marks/SLM');
  ({ panelId } = await ask<{ panelId: string }>('/v1/marks/SLM.wI.11b'));
  await post(`/v1/sites/${site.siteId}/campaigns`, {
    title: 'A new light',
    scope: ['wI.11b'],
    happened: '2026-01-10',
  });
  const cartoon = new URL('../../fixtures/cartoons/light.svg', import.meta.url);
  const file = { fileName: 'light.svg', text: readFileSync(cartoon, 'utf8'), faceWidthMm: 5 };
  await post(
    `/v1/panels/${panelId}/nets/import`,
    { ...file, note: 'the designer’s cartoon' },
    { 'If-Match': '"0"' },
  );
});
afterAll(() => chapel.close());
afterEach(() => {
  expect(chapel.errors.splice(0)).toEqual([]);
});

const choose = (page: Page) => page.getByRole('form', { name: 'Glass for pieces' });

it('asks for a signed drawing, then takes a glass in, chooses it by tap and by number, and cuts', async () => {
  const page = await chapel.enter('desk', PATH);
  await page.getByText('Sign the lead drawing first').waitFor();
  await chapel.keeper.post(`/v1/panels/${panelId}/nets/1/sign`, {});
  await page.reload();
  await choose(page).waitFor();
  await page.getByText('Enter a glass').first().click();
  const glass = page.getByRole('form', { name: 'Enter a glass' });
  await glass.getByLabel('Name of the glass').fill('ruby, streaky');
  await glass.getByLabel('Kind of glass').selectOption({ label: 'pot metal' });
  await glass.getByLabel('Colour').fill('ruby');
  await glass.getByLabel('Width of the sheet, mm').fill('400');
  await glass.getByLabel('Height of the sheet, mm').fill('600');
  await glass.getByLabel('Price', { exact: true }).fill('48,50');
  await glass.getByRole('radio', { name: 'along its height' }).click();
  await glass.getByRole('button', { name: 'Enter this glass' }).click();
  const sheet = choose(page).getByLabel('Sheet of the register');
  await sheet.locator('option', { hasText: 'ruby' }).waitFor({ state: 'attached' });

  await page.getByRole('checkbox', { name: 'piece 1, no glass yet' }).click();
  await page.getByRole('checkbox', { name: 'piece 2, no glass yet' }).focus();
  await page.keyboard.press('Space');
  await choose(page).getByText('2 pieces in hand: 1, 2').waitFor();
  await choose(page).getByLabel('Numbers').fill('1-9');
  await choose(page).getByText('9 pieces in hand').waitFor();
  await sheet.selectOption({ index: 1 });
  await choose(page).getByLabel('Streaks run, degrees from the top').fill('0');
  await choose(page).getByRole('button', { name: 'Choose this glass' }).click();
  const cuts = page.getByRole('region', { name: 'Cut list' });
  await cuts.locator('summary', { hasText: '9 pieces' }).waitFor();
  await sound(page, 'glass-pieces-desk');

  // the field stays in hand while the pieces are laid anew, and the paper follows what it says
  const gap = cuts.getByLabel('Between pieces, mm');
  await gap.fill('');
  await gap.pressSequentially('12', { delay: 700 });
  expect(await gap.inputValue()).toBe('12');
  await cuts.locator('a[href*="gapMm=12"]').first().waitFor();
  expect(await gap.evaluate((field) => field === document.activeElement)).toBe(true);
  await gap.fill('4');
  await cuts.locator('a[href*="gapMm=4"]').first().waitFor();

  await page.getByRole('radio', { name: 'the sheets' }).click();
  await page
    .getByRole('img', { name: /pieces? on this sheet/ })
    .first()
    .waitFor();
  await sound(page, 'glass-sheets-desk');
});

it('costs it in decimals, keeps that as an estimate, and puts what was cut into the record', async () => {
  const page = await chapel.enter('desk', PATH);
  const cost = page.getByRole('form', { name: 'What it costs' });
  await cost.getByLabel('An hour of work').fill('60');
  await cost.getByLabel(/Choose, cut and groze/).fill('10');
  // by hand: 9 pieces × 10 min at 60 an hour = 90.00, and sheets at 48.50 each
  await cost.getByText(/€/).first().waitFor();
  await cost.getByLabel('Currency').fill('');
  await cost.getByLabel('Currency').pressSequentially('CHF');
  await cost.getByText(/CHF/).first().waitFor();
  expect(await cost.getByLabel('An hour of work').inputValue()).toBe('60');
  await cost.getByLabel('Currency').fill('EUR');
  await cost.getByText(/€/).first().waitFor();
  await cost.getByRole('button', { name: 'Keep it as an estimate' }).click();
  await cost.getByText('Kept.').waitFor();
  const made = page.getByRole('form', { name: 'What was cut' });
  await made.getByLabel('By (trade)').fill('glazier');
  await made.getByRole('button', { name: 'They are cut' }).click();
  await made.getByText('9 of 9 are cut.').waitFor();
  const { items } = await chapel.keeper.ask<{ items: { said: { note: string } }[] }>(
    `/v1/panels/${panelId}/techniques`,
  );
  expect(items).toHaveLength(9);
  expect(items[0]!.said.note).toMatch(/^made new .* by glazier; cut from ruby, streaky$/);
});

it.each<SizeName>(['phone'])('fits a %s', async (size) => {
  const page = await chapel.enter(size, PATH);
  await page.getByRole('checkbox', { name: /^piece 1,/ }).waitFor();
  await sound(page, `glass-pieces-${size}`);
  await page.getByRole('button', { name: /pull up glass and cut list/ }).click();
  await choose(page).waitFor();
  await sound(page, `glass-papers-${size}`);
});
