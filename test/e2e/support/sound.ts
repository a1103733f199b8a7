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
