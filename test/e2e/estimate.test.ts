/** What a campaign will take: written from areas, written again from the drawings, and the variation between. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import { openPage, type SizeName } from './support/browser.js';
import { type Chapel, openChapel } from './support/chapel.js';
import { sound } from './support/sound.js';
import { wordsLeft } from './support/words-left.js';

jest.setTimeout(240_000);

let chapel: Chapel;
let siteId: string;
let campaignId: string;

beforeAll(async () => {
  chapel = await openChapel();
  const { ask, post } = chapel.keeper;
  ({ siteId } = await ask<{ siteId: string }>('/v1/marks/SLM'));
  ({ campaignId } = await post<{ campaignId: string }>(`/v1/sites/${siteId}/campaigns`, {
    title: 'The west lights',
    scope: ['wI.12a', 'wI.12b'],
    happened: '2026-01-10',
  }));
});
afterAll(() => chapel.close());
afterEach(() => {
  expect(chapel.errors.splice(0)).toEqual([]);
});

const path = () => `/at/SLM/estimate?campaign=${campaignId}`;
const paper = (page: Page) => page.getByRole('region', { name: 'The estimate', exact: true });

it('is written at the desk, alternatives side by side', async () => {
  const page = await chapel.enter('desk', path());
  await page.getByText('No estimate yet').waitFor();
  await sound(page, 'estimate-none-desk');
  await page.getByRole('button', { name: 'Write the first one' }).click();
  const form = page.getByRole('form', { name: 'Write an estimate' });
  await form.getByRole('radio', { name: 'first, from areas' }).click();
  await form.getByLabel('An hour of work, EUR').fill('60');
  await form.getByLabel('A way to do it').fill('in place');
  const line = form.getByRole('group').filter({ has: page.getByLabel('What is done or used') });
  await line.getByLabel('What is done or used').fill('clean the glass');
  await line.getByLabel('How many').first().fill('3');
  await line.getByLabel('at least').first().fill('2');
  await line.getByLabel('at most').first().fill('4');
  await line.getByLabel('Minutes each').first().fill('20');
  await line.getByLabel('Material each, EUR').fill('0,335');
  // by hand: 3 × (20 min at 60 an hour + 0.335) = 61.005 → 61.01; a tenth 6.10; together 67.11
  await form.getByRole('status').getByText('€67.11').waitFor();
  await form.getByRole('button', { name: 'Another way beside it' }).click();
  const other = form.getByRole('region', { name: 'Alternative: without a name' });
  await other.getByLabel('A way to do it').fill('taken out');
  const second = form.getByRole('region', { name: 'Alternative: taken out' });
  await second.getByLabel('Minutes each').first().fill('50');
  await sound(page, 'estimate-write-desk');
  await form.getByRole('button', { name: 'Keep this estimate' }).click();
  const table = paper(page).getByRole('table');
  await table.getByRole('columnheader', { name: /in place/ }).waitFor();
  const total = table.getByRole('row', { name: /^Estimated/ });
  // by hand: 3 × (50 + 0.335) = 151.005 → 151.01; a tenth 15.10; together 166.11
  expect(await total.getByText(/^€/).allTextContents()).toEqual(['€67.11', '€166.11']);
  await page.getByRole('heading', { name: 'The west lights' }).scrollIntoViewIfNeeded();
  await sound(page, 'estimate-desk');
});

it('the second is written on the phone, and what lies between is told line by line', async () => {
  const page = await chapel.enter('phone', path());
  await page.getByRole('button', { name: 'Write the next one' }).click();
  const form = page.getByRole('form', { name: 'Write an estimate' });
  await form.getByRole('radio', { name: 'second, from the drawings' }).click();
  const way = form.getByRole('region', { name: 'Alternative: in place' });
  await way.getByLabel('How many').first().fill('5');
  await way.getByLabel('at least').first().fill('');
  await way.getByLabel('at most').first().fill('');
  await sound(page, 'estimate-write-phone');
  await form.getByRole('button', { name: 'Keep this estimate' }).click();
  // by hand: 5 × 20.335 = 101.675 → 101.68, a tenth 10.17, together 111.85; less 67.11
  const variation = page.getByRole('region', { name: /^Variation/ });
  await variation.getByText('+€40.67').waitFor();
  await variation.getByText('+€44.74').waitFor();
  await sound(page, 'estimate-phone');
  // the total stays in sight while the lines are read
  const way1 = paper(page).getByRole('region', { name: 'in place' });
  await way1.scrollIntoViewIfNeeded();
  expect(await way1.getByText('Estimated').isVisible()).toBe(true);
  const versions = page.getByRole('region', { name: 'Versions' });
  await versions.scrollIntoViewIfNeeded();
  await sound(page, 'estimate-versions-phone');
  const href = await versions.getByRole('link', { name: 'PDF of version 1' }).getAttribute('href');
  const pdf = await page.request.get(new URL(href!, chapel.origin).href);
  expect([pdf.status(), pdf.headers()['content-type']]).toEqual([200, 'application/pdf']);
  await versions.getByRole('button', { name: /^1: / }).press('Enter');
  await paper(page)
    .getByText(/^version 1: first, from areas/)
    .waitFor();
});

it.each<SizeName>(['desk', 'phone'])(
  'the window says how far its campaign is on the %s',
  async (size) => {
    const page = await chapel.enter(size, '/at/SLM.wI');
    const line = page.getByRole('region', { name: 'How far The west lights is' });
    await line.waitFor({ state: 'attached' });
    if (size === 'phone') await page.getByRole('button', { name: /^pull up/ }).click();
    // by hand: 5 pieces of 20 minutes are 100 minutes
    await line.getByText('0.0 h').waitFor();
    await line.getByText('done of 1.7 h').waitFor();
    // one number where there is no range
    expect(await line.textContent()).not.toMatch(/1\.7 h.*1\.7 h/);
    await line.scrollIntoViewIfNeeded();
    await sound(page, `window-progress-${size}`);
    await line.getByRole('link', { name: '2 panels without a consent' }).click();
    await page.getByRole('button', { name: 'proposals', pressed: true }).waitFor();
  },
);

it.each<SizeName>(['desk', 'phone'])('speaks German on the %s', async (size) => {
  const { page, errors } = await openPage(chapel.browser, size, 'de-DE');
  await chapel.keeper.enter(page.context());
  await page.goto(`${chapel.origin}${path()}`);
  await page.getByRole('heading', { name: 'Fassungen' }).waitFor();
  const data = ['The west lights', 'in place', 'taken out', 'clean the glass', 'Studio head'];
  await sound(page, `german-estimate-${size}`);
  expect(await wordsLeft(page, data)).toEqual([]);
  // decimals and currency as German writes them
  await page.getByText('67,11 €').first().waitFor({ state: 'attached' });
  await page.getByRole('button', { name: 'Den nächsten schreiben' }).click();
  await sound(page, `german-estimate-write-${size}`);
  expect(await wordsLeft(page, data)).toEqual([]);
  expect(errors).toEqual([]);
});
