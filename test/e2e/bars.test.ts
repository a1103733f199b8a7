/** Bars of a window under wind, reckoned on the screen from its drawing. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import type { SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';
import { sound } from './support/sound.js';

jest.setTimeout(180_000);

const chapel = chapelOfTests();

async function enter(size: SizeName): Promise<Page> {
  const page = await chapel.enter(size, '/at/SLM.wI/bars');
  await page.getByRole('region', { name: 'Bars', exact: true }).waitFor({ timeout: 60_000 });
  return page;
}

/** What the first bar does: how far it bends, mm, and its stress, MPa, as written. */
async function firstBar(page: Page): Promise<{ bends: number; stress: number }> {
  const cells = await page
    .getByRole('region', { name: 'Bars', exact: true })
    .getByRole('row')
    .nth(1)
    .getByRole('cell')
    .allTextContents();
  return { bends: Number.parseFloat(cells[0]!), stress: Number.parseFloat(cells[1]!) };
}

it.each<SizeName>(['desk', 'phone'])('by keys and by sight on the %s', async (size) => {
  const page = await enter(size);
  await page.getByLabel('Wind, m/s').fill('40');
  const steel = await firstBar(page);
  await page.getByRole('radio', { name: 'bronze' }).click();
  const bronze = await firstBar(page);
  // E of steel 210 GPa, of bronze 105 (handbooks, from memory): twice as far under the same stress
  expect(bronze.bends / steel.bends).toBeCloseTo(2, 1);
  expect(bronze.stress).toBe(steel.stress);

  await page.getByLabel('Diameter, mm').fill('0');
  await page.getByRole('alert').waitFor();
  expect(await page.getByRole('alert').textContent()).toContain(
    'Diameter, mm: give a number above 0',
  );
  await page.getByLabel('Diameter, mm').fill('10');
  await page.getByText('How this was reckoned').click();
  await sound(page, `bars-${size}`);
});
