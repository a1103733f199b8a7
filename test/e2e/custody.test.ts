/** A panel out of its opening, into a crate, into other hands and onto the bench, by screens alone. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import type { SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';
import { sound } from './support/sound.js';

jest.setTimeout(240_000);

const chapel = chapelOfTests();

/** What a tap on the link would open. */
async function listOnPaper(page: Page): Promise<void> {
  const link = page.getByRole('link', { name: 'This list on paper (PDF)' });
  const answered = await page.request.get(`${chapel.origin}${await link.getAttribute('href')}`);
  expect([answered.status(), answered.headers()['content-type']]).toEqual([200, 'application/pdf']);
}

// the phone takes the first panel from the top, the desk the second
it.each<[SizeName, string]>([
  ['phone', '1'],
  ['desk', '2'],
])('from the scaffold to the bench on the %s', async (size, crate) => {
  const page = await chapel.enter(size, '/at/SLM.wI/custody');
  const turn = page.locator('.turn b');
  await turn.waitFor({ timeout: 60_000 });
  const mark = (await turn.textContent())!;
  await listOnPaper(page);
  await page.getByRole('radio', { name: 'tested, sound' }).click();
  await page.getByLabel('What holds it to its shape').fill('a board and padding');
  await page.getByRole('radio', { name: 'on the lead' }).click();
  await page.getByRole('radio', { name: 'inside face' }).click();
  await sound(page, `custody-out-${size}`);
  await page.getByRole('button', { name: `${mark} is out` }).click();
  await page.waitForFunction(
    (before) => document.querySelector('.turn b')?.textContent !== before,
    mark,
  );

  await page.getByRole('radio', { name: 'pack', exact: true }).click();
  await page.getByLabel('Another crate: what is written on it').fill(crate);
  await page.getByRole('button', { name: 'Add a crate' }).click();
  await page.getByRole('radio', { name: crate, exact: true }).click();
  await page.getByRole('button', { name: mark, exact: true }).click();
  await page.getByText(`1: SLM.wI.${mark}`).waitFor();
  await sound(page, `custody-pack-${size}`);

  await page.getByRole('radio', { name: 'hand over' }).click();
  await page.getByRole('button', { name: `crate ${crate} (1)` }).click();
  await page.getByLabel('To whom').fill('carrier');
  await page.getByRole('button', { name: 'I give these away as they should be' }).click();
  await page.getByRole('button', { name: 'It is here: look at each thing' }).click();
  await page.getByRole('radio', { name: 'broken', exact: true }).click();
  await page.getByLabel('What is to be seen').fill('a corner of the border');
  await sound(page, `custody-arrival-${size}`);
  await page.getByRole('button', { name: 'I have received this' }).click();
  await page.getByText('Nothing is on its way.').waitFor();

  await page.getByRole('radio', { name: 'where is it?' }).click();
  await page.getByRole('heading', { name: /on the bench/ }).waitFor();
  await sound(page, `custody-where-${size}`);
  await page.getByRole('radio', { name: 'put back', exact: true }).click();
  await page.getByLabel('Gap to the protective glazing, mm').waitFor();
  await sound(page, `custody-back-${size}`);
  await page.close();
});

// what the phone kept lies open on the desk, one tap further
it.each<[SizeName, string, string]>([
  ['phone', '1 not looked at', '1 in'],
  ['desk', '1 in', '1 replaced'],
])('the list of a rebuilt panel on the %s', async (size, before, tapped) => {
  const page = await chapel.enter(size, '/at/SLM.wI.12b');
  const list = page.getByRole('link', { name: 'list of the rebuild' });
  await list.waitFor({ state: 'attached', timeout: 60_000 });
  if (size === 'phone') await page.goto(`${chapel.origin}/at/SLM.wI.12b/rebuild`);
  else await list.click();
  await listOnPaper(page);
  await page.getByRole('button', { name: before, exact: true }).click();
  await page.getByRole('button', { name: tapped, exact: true }).waitFor();
  await page.getByRole('button', { name: 'All the others are in' }).click();
  await page.getByText('Every piece was looked at.').waitFor();
  await sound(page, `custody-rebuild-${size}`);
  await page.getByRole('button', { name: 'keep the list as it stands' }).click();
  await page.waitForFunction(() => !document.querySelector('button.act')?.hasAttribute('disabled'));
  await page.reload();
  await page.getByText('Every piece was looked at.').waitFor({ timeout: 60_000 });
  await page.close();
});

it('shows on the wall where each panel is', async () => {
  const page = await chapel.enter('desk', '/at/SLM.wI?show=where');
  await page.getByText('in its opening').first().waitFor({ timeout: 60_000 });
  await sound(page, 'custody-wall-desk');
  await page.close();
});
