import type { Page } from 'playwright-core';
import { barriers } from './accessible.js';
import { look } from './browser.js';
import { tooWide } from './words-left.js';

/** What holds of every screen: no barrier, no words cut off, no sideways scroll. Its picture is kept before it is judged. */
export async function sound(page: Page, name: string): Promise<void> {
  await look(page, name);
  expect({ name, barriers: await barriers(page) }).toEqual({ name, barriers: [] });
  expect({ name, tooWide: await tooWide(page) }).toEqual({ name, tooWide: [] });
}

/** The same of papers over a drawing: what lies half under the strip that pulls them is no target of this moment. */
export async function soundFromTheTop(page: Page, name: string): Promise<void> {
  await page.locator('.beside').evaluate((papers) => {
    papers.scrollTop = 0;
  });
  await sound(page, name);
}
