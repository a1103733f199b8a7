/** The past asked in plain words: chips, list, drawing, table; and past work put in from papers. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import { look, type SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';
import { sound } from './support/sound.js';

jest.setTimeout(180_000);

const chapel = chapelOfTests();

async function enter(size: SizeName): Promise<Page> {
  const page = await chapel.enter(size, '/search');
  await page.getByLabel('Ask the past').waitFor({ timeout: 60_000 });
  return page;
}

async function ask(page: Page, words: string): Promise<void> {
  await page.getByLabel('Ask the past').fill(words);
  await page.getByLabel('Ask the past').press('Enter');
}

const hits = (page: Page, count: number) =>
  page.getByRole('status').filter({ hasText: new RegExp(`^${count} hits?$`) });

describe.each<SizeName>(['desk', 'phone'])('on the %s', (size) => {
  // Counted by hand in apps/worker/src/demo/sallowmere-past.ts: on wI of 189X, 1958, 197X, 1987 and 1987.
  it('words become chips, a chip goes by keys, the hits go into a table', async () => {
    const page = await enter(size);
    await sound(page, `search-empty-${size}`);
    await ask(page, 'work between 1870 and 1990 on wI');
    await hits(page, 5).waitFor();
    const understood = page.getByRole('list', { name: 'Understood as' });
    expect(await understood.getByRole('button').allTextContents()).toEqual([
      'in wI ×',
      'work done ×',
      'from 1870 ×',
      'until 1990 ×',
    ]);
    expect(await page.getByRole('list', { name: 'Found' }).getByRole('listitem').count()).toBe(5);
    await sound(page, `search-list-${size}`);

    const table = page.getByRole('link', { name: 'As a table (CSV)' });
    const [file] = await Promise.all([page.waitForEvent('download'), table.click()]);
    expect(file.suggestedFilename()).toBe('found.csv');
    const rows = (
      await (
        await page.request.get((await table.getAttribute('href'))!.replace(/^/, chapel.origin))
      ).text()
    )
      .trim()
      .split('\n');
    expect(rows).toHaveLength(1 + 5);

    // 2009? is later than 1990
    await understood.getByRole('button', { name: 'take away: until 1990' }).focus();
    await page.keyboard.press('Enter');
    await hits(page, 6).waitFor();
    expect(await understood.getByRole('button').count()).toBe(3);
    await page.close();
  });

  it('hits stand on the drawing, and a drawn rectangle asks for what lies in it', async () => {
    const page = await enter(size);
    await ask(page, 'findings on wI.12b');
    await page.getByRole('list', { name: 'Found' }).waitFor();
    await page.getByLabel('View').selectOption('SLM.wI');
    const drawing = page.getByRole('img', { name: 'SLM.wI: hits by piece' });
    await drawing.waitFor();
    await page
      .getByRole('list', { name: 'Panels' })
      .getByRole('button', { name: /^12b · / })
      .waitFor();
    await sound(page, `search-drawing-${size}`);
    await drawing.scrollIntoViewIfNeeded();
    const box = (await drawing.boundingBox())!;
    await page.mouse.move(box.x + box.width * 0.1, box.y + box.height * 0.1);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.9, box.y + box.height * 0.9, { steps: 4 });
    await look(page, `search-drag-${size}`);
    await page.mouse.up();
    await page.getByRole('button', { name: 'take away: within the drawn area' }).waitFor();
    await drawing.waitFor();
    await sound(page, `search-area-${size}`);
    await page.close();
  });

  it('past work is pasted, a bad row says what is wrong and is mended', async () => {
    const page = await enter(size);
    // other windows than wI, where hits are counted
    const window = size === 'desk' ? 'nII' : 'sII';
    await page.getByRole('link', { name: 'Enter past work from papers' }).click();
    await page.getByLabel('Which paper').fill('churchwardens’ book, page 12');
    const rows = page.getByLabel('Rows', { exact: true });
    await rows.fill(
      `where\twhat\twhen\tmaterial\n${window}\treplaced\tc. 1925\tblue glass\n${window}\tpolished\t1950\t`,
    );
    await page.getByText('“polished” is no work that the vocabulary knows.').waitFor();
    await sound(page, `search-past-${size}`);
    await page.getByRole('button', { name: 'Record 1 row' }).click();
    await page.getByRole('cell', { name: 'recorded', exact: true }).waitFor();
    await rows.fill(
      `where\twhat\twhen\tmaterial\n${window}\treplaced\tc. 1925\tblue glass\n${window}\tcement\t1950\t`,
    );
    await page.getByRole('button', { name: 'Record 1 row' }).click();
    await page.waitForFunction(
      () =>
        [...document.querySelectorAll('.past-table .is-done')].filter(
          ({ textContent }) => textContent === 'recorded',
        ).length === 2,
    );
    await sound(page, `search-past-recorded-${size}`);
    await page.getByRole('link', { name: 'Back to the search' }).click();
    await ask(page, `work between 1920 and 1950 on ${window}`);
    // on sII there is its glazing of 1946/1951~ besides
    await hits(page, size === 'desk' ? 2 : 3).waitFor();
    await page.getByText('1925~').first().waitFor();
    await page.close();
  });
});
