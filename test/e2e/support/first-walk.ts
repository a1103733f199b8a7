/** The first walk of the demo as a person does it: by the real controls it points at. */
import type { Page } from 'playwright-core';
import { barriers } from './accessible.js';
import { look } from './browser.js';

const MARK = 'SLM.sII.2a';

/** Marks a crack and takes it back. @returns what axe found on the way */
export async function firstWalk(page: Page, origin: string, size: string): Promise<string[]> {
  const found: string[] = [];
  const walk = page.getByRole('region', { name: 'First walk' });
  const at = (step: number) => walk.getByText(`${step} of 5`).waitFor();
  await page.goto(origin);
  await walk.getByRole('button', { name: 'begin the walk' }).click();
  await at(1);
  await look(page, `walk-1-${size}`);
  await page.locator('.mark-box input').fill(MARK);
  await page.keyboard.press('Enter');
  await at(2);
  await look(page, `walk-2-${size}`);
  found.push(...(await barriers(page)));
  // left, and taken up again where it was, also after a reload
  await walk.getByRole('button', { name: 'not now' }).click();
  await page.reload();
  await walk.getByRole('button', { name: 'take it up again' }).click();
  await at(2);
  const rubbings = page.locator('.also a[href$="/rub"]');
  if (size === 'phone') await page.locator('.pull').first().click();
  await rubbings.click();
  await at(3);
  await look(page, `walk-3-${size}`);
  await walk.getByRole('link', { name: 'to the bench' }).click();
  await page.locator('.dock a[href*="/find/glass.crack"]').first().click();
  const plane = page.getByRole('application', { name: /Lead drawing of/ });
  await page.locator('.find-dock').waitFor();
  // by keys: a point under the cross, the drawing moved, another, recorded
  await plane.focus();
  await page.keyboard.press('Enter');
  for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: /^record, go on/ }).waitFor();
  await page.keyboard.press('Enter');
  await at(4);
  await look(page, `walk-4-${size}`);
  await page.goto(`${origin}/at/${MARK}`);
  if (size === 'phone') await page.locator('.pull').first().click();
  await page.locator('.also a[href$="/papers"]').click();
  await at(5);
  await look(page, `walk-5-${size}`);
  found.push(...(await barriers(page)));
  await walk.getByRole('button', { name: 'take it back' }).click();
  await walk.getByText('The first walk is done.').waitFor();
  return found;
}
