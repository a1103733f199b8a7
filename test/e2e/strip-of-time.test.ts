/** What the drawing shows, and when: by mouse, finger and keys, and by a link that is handed on. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import { barriers } from './support/accessible.js';
import { look, type SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';

jest.setTimeout(180_000);

const chapel = chapelOfTests();

async function enter(size: SizeName, path: string): Promise<Page> {
  const page = await chapel.enter(size, path);
  await page.getByRole('list', { name: 'Key to the drawing' }).waitFor({ timeout: 60_000 });
  await settled(page);
  return page;
}

/** The day that is shown is the day that was asked for, and its picture stands still. */
async function settled(page: Page): Promise<void> {
  await page.waitForFunction(() => document.querySelector('.wall-pane[aria-busy="true"]') === null);
  await page.waitForTimeout(700);
}

/** The key as it is read: words → panels. */
async function keyOf(page: Page): Promise<Record<string, number>> {
  const lines = await page
    .getByRole('list', { name: 'Key to the drawing' })
    .getByRole('listitem')
    .allTextContents();
  return Object.fromEntries(
    lines.map((line) => {
      const [, words, count] = /^(.*) (\d+)$/.exec(line.trim())!;
      return [words!, Number(count)];
    }),
  );
}

const words = (page: Page) => new URL(page.url()).searchParams;

describe.each(['desk', 'phone'] as const)('on the %s', (size) => {
  // What is expected is counted by hand in apps/worker/src/demo/sallowmere-past.ts and the texts of
  // the works: rows 1 to 9 of four lights were releaded in the 1890s, the bars of all in 1958.
  it.each([
    'work',
    'condition',
    'terms',
    'last-work',
    'last-kind',
    'glass',
    'profile',
    'doubts',
    'findings',
    'drawings',
  ])('shows %s with a key that counts every panel once', async (show) => {
    const page = await enter(size, `/at/SLM.wI?show=${show}`);
    const counts = Object.values(await keyOf(page));
    expect(counts.reduce((sum, count) => sum + count, 0)).toBe(150);
    await look(page, `shown-${show}-${size}`);
    expect(await barriers(page)).toEqual([]);
    await page.context().close();
  });

  it('goes back in time by keys, and the address follows', async () => {
    const page = await enter(size, '/at/SLM.wI?show=condition');
    expect((await keyOf(page))['no class given']).toBe(0);
    const handle = page.getByRole('slider', { name: /Happened up to/ });
    await handle.focus();
    await page.keyboard.press('Home');
    await settled(page);
    expect(await keyOf(page)).toMatchObject({ 'no class given': 150 });
    expect(words(page).get('at')).toBe('1890-01-01');
    await page.keyboard.press('End');
    await settled(page);
    expect(words(page).has('at')).toBe(false);
    expect(await handle.getAttribute('aria-valuetext')).toBe('today');
    await look(page, `strip-keys-${size}`);
    await page.context().close();
  });

  it('goes back in time by a drag of the handle', async () => {
    const page = await enter(size, '/at/SLM.wI?show=last-kind');
    const handle = page.getByRole('slider', { name: /Happened up to/ });
    const box = (await handle.boundingBox())!;
    const y = box.y + box.height / 2;
    await page.mouse.move(box.x + box.width / 2, y);
    await page.mouse.down();
    for (let i = 1; i <= 8; i++) await page.mouse.move(box.x + box.width / 2 - i * 22, y);
    await page.mouse.up();
    await settled(page);
    expect(words(page).get('at')).toMatch(/^\d{4}-\d{2}-\d{2}$/);
    await look(page, `strip-dragged-${size}`);
    await page.context().close();
  });

  it('shows two days side by side on one pan and zoom, and a copied link shows the same', async () => {
    const path = '/at/SLM.wI?show=last-kind&at=2026-03-31&beside=1958-01-01';
    const page = await enter(size, path);
    const drawings = page.getByRole('application');
    await drawings.nth(1).waitFor();
    await settled(page);
    await look(page, `two-days-${size}`);
    expect(await barriers(page)).toEqual([]);
    await drawings.nth(0).focus();
    await page.keyboard.press('+');
    await page.waitForFunction(() => new URLSearchParams(location.search).has('view'));
    await settled(page);
    await look(page, `two-days-near-${size}`);
    const key = await page.getByRole('list', { name: 'Key to the drawing' }).textContent();
    const link = page.url();
    const colleague = await enter(size, link.slice(chapel.origin.length));
    await colleague.getByRole('application').nth(1).waitFor();
    await settled(colleague);
    expect(colleague.url()).toBe(link);
    expect(await colleague.getByRole('list', { name: 'Key to the drawing' }).textContent()).toBe(
      key,
    );
    await look(colleague, `two-days-linked-${size}`);
    await page.context().close();
    await colleague.context().close();
  });

  it('tells what was known, apart from what had happened', async () => {
    const page = await enter(size, '/at/SLM.wI?show=condition');
    await page.getByRole('button', { name: 'now', exact: true }).click();
    await page.getByLabel('as known on').fill('2001-01-01');
    await page.getByText('This window was not in the archive then.').waitFor();
    expect(words(page).get('known')).toBe('2001-01-01');
    expect(words(page).has('at')).toBe(false);
    await look(page, `known-then-${size}`);
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: 'now again' }).click();
    await settled(page);
    expect(words(page).has('known')).toBe(false);
    await page.context().close();
  });

  it('shows which of several terms were found, by panel and near by piece', async () => {
    const page = await enter(size, '/at/SLM.wI?show=terms');
    await page.getByRole('button', { name: 'any term' }).click();
    await page.getByRole('checkbox', { name: /paint loss/ }).check();
    await page.getByRole('checkbox', { name: /crack/ }).check();
    await look(page, `terms-choice-${size}`);
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: 'done' }).click();
    await settled(page);
    expect(words(page).get('terms')).toBe('paint.loss,glass.crack.simple');
    expect(Object.keys(await keyOf(page))).toEqual(
      expect.arrayContaining(['paint loss', 'none of them']),
    );
    // the middle of 12b on the wall
    const view = await page.evaluate(() => new URLSearchParams(location.search).get('view'));
    expect(view).toBeNull();
    await look(page, `terms-${size}`);
    await page.context().close();
  });
});

it('lets a person set a class and shows it at once', async () => {
  const page = await enter('desk', '/at/SLM.nII?show=condition&panel=1a');
  expect((await keyOf(page))['no class given']).toBe(6);
  await page.getByRole('button', { name: 'Condition class' }).click();
  await page.getByRole('radio', { name: '2 marked' }).click();
  await page.getByLabel('What was seen, or why nobody looked').fill('ties are loose');
  await look(page, 'class-form-desk');
  expect(await barriers(page)).toEqual([]);
  await page.getByRole('button', { name: 'Set the class' }).click();
  await page.getByText('2, marked').waitFor();
  await settled(page);
  expect(await keyOf(page)).toMatchObject({ 'no class given': 5, '2 marked': 1 });
  await page.context().close();
});
