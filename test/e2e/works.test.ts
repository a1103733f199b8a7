/** A campaign by its screens: begun, proposed, answered by letter, worked on out of order, answered for. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import { look, type SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';
import { soundFromTheTop } from './support/sound.js';

jest.setTimeout(180_000);

const chapel = chapelOfTests();

async function part(page: Page, name: string): Promise<void> {
  await page
    .getByRole('navigation', { name: 'Parts of the campaign' })
    .getByRole('button', { name, exact: true })
    .click();
}

it.each<[SizeName, string, string]>([
  ['desk', 'wI.3b', 'Third row'],
  ['phone', 'wI.4b', 'Fourth row'],
])('from its beginning to an answered question on the %s', async (size, mark, title) => {
  const page = await chapel.enter(size, '/at/SLM/works?campaign=new');
  const begin = page.getByRole('form', { name: 'Begin a campaign' });
  await begin.getByLabel('What it is called').fill(title);
  await begin.getByLabel('What it covers').fill(mark);
  await begin.getByLabel('From when on').fill('2026-01-10');
  await soundFromTheTop(page, `works-begin-${size}`);
  await begin.getByRole('button', { name: 'Begin it' }).click();

  // work comes before anybody consented: it is kept
  const log = page.getByRole('form', { name: 'Write work down' });
  await log.getByLabel('What was done').selectOption({ label: 'bond, epoxy' });
  await log.getByRole('note').first().waitFor();
  await log.getByLabel('On', { exact: true }).fill(mark);
  await log.getByLabel('With').selectOption({ label: 'another, not in the register' });
  await log.getByLabel('Material', { exact: true }).fill('epoxy resin');
  await log.getByLabel('How long, minutes').fill('90');
  await soundFromTheTop(page, `works-log-${size}`);
  await log.getByRole('button', { name: 'Record it' }).click();
  await log.getByRole('status').filter({ hasText: 'is in the archive' }).waitFor();

  await part(page, 'how far it is');
  const far = page.getByRole('region', { name: 'How far it is' });
  await far.getByText('1.5 h').waitFor();
  await far.getByText('1 panel without a consent').waitFor();
  await soundFromTheTop(page, `works-far-${size}`);
  await far.getByRole('button', { name: '1 question is open' }).click();

  const questions = page.getByRole('region', { name: 'Questions' });
  await questions.getByText('done before consent').waitFor();
  await soundFromTheTop(page, `works-questions-${size}`);
  await questions
    .getByLabel('Why it came so, and what follows')
    .fill('a fragment would have fallen; the owner was told by telephone');
  await questions.getByRole('button', { name: 'Answer it' }).click();
  await questions.getByText('Nothing is open.').waitFor();

  await part(page, 'proposals');
  await page.getByRole('button', { name: 'Write a proposal' }).click();
  const form = page.getByRole('form', { name: 'Write a proposal' });
  await form.getByLabel('What it is called').fill(title);
  await form.getByLabel('Where').fill(mark);
  await form.getByLabel('What is the matter').fill('a break through the face');
  await form.getByLabel('What is proposed').fill('bond it edge to edge');
  await form.getByLabel('Operations').selectOption({ label: 'bond, epoxy' });
  await form.getByLabel('Why this').fill('the break is clean');
  await form.getByLabel('What else was weighed').fill('leave it');
  await form.getByLabel('Materials').fill('epoxy resin');
  await soundFromTheTop(page, `works-write-${size}`);
  await form.getByRole('button', { name: 'Keep it as a draft' }).click();
  const sheet = page.getByRole('article', { name: `${title}, issue 1` });
  await sheet.getByLabel('To whom').fill('the owner');
  await sheet.getByRole('button', { name: 'It goes out today' }).click();
  await sheet.getByText('A letter came').click();
  const letter = sheet.getByRole('form', { name: 'The letter' });
  await letter.getByLabel('Who signed').fill('the owner');
  await letter.getByLabel('On condition that').fill('a report at the end');
  const scan = new TextEncoder().encode(`%PDF-1.4\n% a letter about ${title}\n%%EOF\n`);
  await letter
    .getByLabel('Scan of the letter')
    .setInputFiles({ name: 'letter.pdf', mimeType: 'application/pdf', buffer: Buffer.from(scan) });
  await letter.scrollIntoViewIfNeeded();
  await look(page, `works-letter-${size}`);
  await letter.getByRole('button', { name: 'Record the letter' }).click();
  await sheet.getByText(/^Consented on/).waitFor();
  const original = sheet.getByRole('link', { name: 'the letter as it came' });
  const kept = await page.request.get(
    new URL((await original.getAttribute('href'))!, chapel.origin).href,
  );
  expect([...(await kept.body())]).toEqual([...scan]);
  await soundFromTheTop(page, `works-consent-${size}`);
  await sheet.getByLabel('How “a report at the end” was met').fill('it lies with the owner');
  await sheet.getByRole('button', { name: 'It was met' }).click();
  await sheet.getByText(/^met .*: it lies with the owner$/).waitFor();

  // the record of the panel is signed as it was read
  await page.getByRole('checkbox', { name: new RegExp(`^${mark.slice(3)}, `) }).press('Space');
  await part(page, 'how far it is');
  const signing = page.getByRole('form', { name: `Sign for SLM.${mark}` });
  const record = signing.getByRole('link', { name: 'Read the treatment record' });
  const read = await page.request.get(
    new URL((await record.getAttribute('href'))!, chapel.origin).href,
  );
  expect([read.status(), read.headers()['content-type']]).toEqual([
    200,
    expect.stringContaining('text/html'),
  ]);
  await signing.getByLabel('Your qualification').fill('conservator of glass');
  await signing.scrollIntoViewIfNeeded();
  await look(page, `works-sign-${size}`);
  await signing.getByRole('button', { name: 'I have read it and sign' }).click();
  await signing.getByText('Signed; the record as you read it is kept.').waitFor();
  const signed = await page.request.get(
    new URL((await record.getAttribute('href'))!, chapel.origin).href,
  );
  expect(await signed.text()).toContain('conservator of glass');
  await soundFromTheTop(page, `works-signed-${size}`);

  await part(page, 'materials');
  const batch = page.getByRole('form', { name: 'Enter a batch' });
  await batch.getByLabel('Generic name').fill('epoxy resin, two parts');
  await batch.getByLabel('Batch', { exact: true }).fill(`31 ${size}`);
  await batch.getByLabel('How much came in').fill('500');
  await batch.getByRole('button', { name: 'Enter it' }).click();
  await page.getByText(`batch 31 ${size}`).waitFor();
  await soundFromTheTop(page, `works-materials-${size}`);
});

it('panels are chosen on the drawing by keys', async () => {
  const page = await chapel.enter('desk', '/at/SLM');
  // the campaigns come late: no other window is drawn before, and exchanged under the hand
  await page.route(/\/campaigns/, async (route) => {
    await new Promise((resolve) => setTimeout(resolve, 1000));
    await route.continue();
  });
  await page.goto(`${chapel.origin}/at/SLM/works`);
  const panel = page.getByRole('checkbox', { name: /^3b, / });
  await panel.focus();
  await page.keyboard.press('Space');
  expect(await panel.getAttribute('aria-checked')).toBe('true');
  await page.getByText('chosen on the drawing: SLM.wI.3b').first().waitFor();
  await soundFromTheTop(page, 'works-chosen-desk');
});
