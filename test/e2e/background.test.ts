/** What is known of a place: said of the window, read at its panel, changed by who read it. */
import { jest } from '@jest/globals';
import type { SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';
import { soundFromTheTop } from './support/sound.js';

jest.setTimeout(180_000);

const chapel = chapelOfTests();

it.each<[SizeName, string]>([
  ['desk', 'nII'],
  ['phone', 'sII'],
])('on the %s it is said of %s, and its panel says of what', async (size, window) => {
  const page = await chapel.enter(size, `/at/SLM.${window}/papers`);
  const known = page.getByRole('region', { name: 'What is known of it' });
  await known.getByText('Say what is known').click();
  const form = known.getByRole('form', { name: 'Say what is known' });
  await form.getByLabel('Made by').fill('a workshop of the town');
  await form.getByLabel('How is it known?').fill('inscription in 1a');
  // who names a maker says when
  await form.getByRole('button', { name: 'Keep it' }).click();
  expect(await form.getByLabel('Made, when').evaluate((field) => field.matches(':invalid'))).toBe(
    true,
  );
  await form.getByLabel('Made, when').fill('once');
  await form.getByRole('button', { name: 'Keep it' }).click();
  await form.getByRole('alert').waitFor();
  await form.getByLabel('Made, when').fill('1903~');
  await soundFromTheTop(page, `background-${size}`);
  await form.getByRole('button', { name: 'Keep it' }).click();
  await known.getByText('1903~, a workshop of the town, inscription in 1a').waitFor();

  await page.goto(`${chapel.origin}/at/SLM.${window}.1a/papers`);
  await known.getByText('1903~, a workshop of the town, inscription in 1a').waitFor();
  await known.getByText(`said of SLM.${window}`).first().waitFor();
  await page.close();
});
