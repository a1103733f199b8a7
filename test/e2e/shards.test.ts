/** A broken piece from its light-box pictures (fixtures/shards) to the recorded bond, by screen and keyboard. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { openBrowser, openPage, type SizeName } from './support/browser.js';
import { type DrawnPanel, drawnPanel } from './support/drawn-panel.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';
import { sound, soundFromTheTop } from './support/sound.js';

jest.setTimeout(300_000);

const folder = fileURLToPath(new URL('../../fixtures/shards/', import.meta.url));
const truth = JSON.parse(readFileSync(`${folder}truth.json`, 'utf8')) as {
  outline: [number, number][];
};

let mullion: RunningMullion;
let browser: Browser;
let panel: DrawnPanel;

beforeAll(async () => {
  [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
  panel = await drawnPanel(mullion, null);
  await panel.post('/pieces', { ringMm: truth.outline.map(([x, y]) => [x + 60, y + 90]) });
});
afterAll(async () => {
  await browser.close();
  await mullion.stop();
});

async function enter(size: SizeName): Promise<{ page: Page; errors: string[] }> {
  const { page, errors } = await openPage(browser, size);
  page.setDefaultTimeout(60_000);
  await panel.enter(page.context());
  await page.goto(`${mullion.origin}/at/${panel.mark}.1/shards`);
  return { page, errors };
}

it('pictures become shards, shards a proposal, a proposal what a person keeps and bonds', async () => {
  const { page, errors } = await enter('desk');
  const pictures = page.getByRole('region', { name: 'Pictures of the shards' });
  await pictures.getByText('Lay one shard on a light box').waitFor();
  await sound(page, 'shards-empty-desk');
  const files = readdirSync(folder).filter((name) => name.endsWith('.jpg'));
  await pictures.locator('input[type=file]').setInputFiles(files.map((name) => folder + name));
  await pictures.getByText('1s12', { exact: true }).waitFor();
  await pictures.getByLabel('Scale: pixels in a millimetre').fill('8');
  await pictures.getByRole('button', { name: 'Find how they lie' }).click();

  const told = page.getByRole('region', { name: 'What lies here' });
  // the generator left 806 of 19,548 mm² out
  await told.getByText(/^9[56][.,]\d %$/).waitFor({ timeout: 120_000 });
  await sound(page, 'shards-proposed-desk');

  const shard = page.getByRole('button', { name: /^1s5, / });
  await shard.focus();
  const before = await shard.getAttribute('transform');
  await shard.press('ArrowRight');
  await shard.press(']');
  expect(await shard.getAttribute('transform')).not.toBe(before);
  await shard.press('l');
  await page.getByRole('button', { name: '1s5, locked' }).waitFor();
  const moved = await shard.getAttribute('transform');
  await shard.press('ArrowRight');
  expect(await shard.getAttribute('transform')).toBe(moved);
  await page.getByRole('region', { name: 'Shard 1s5' }).getByText('locked by a person').waitFor();
  await sound(page, 'shards-chosen-desk');

  const keep = page.getByRole('region', { name: 'Keep the assembly' });
  await keep.getByRole('button', { name: 'Keep this assembly' }).click();
  await keep.getByText(/^Kept: 9\d[.,]\d % covered/).waitFor();
  await keep.getByRole('button', { name: 'Record the loss as a finding' }).click();
  await keep.getByText('The loss is recorded.').waitFor();
  const bond = page.getByRole('form', { name: 'Record the bond' });
  expect(Number(await bond.getByLabel('Length of bond, mm').inputValue())).toBeGreaterThan(500);
  await bond.getByRole('radio', { name: 'bond, epoxy' }).click();
  await bond.getByLabel('With', { exact: true }).selectOption('other');
  await bond.getByLabel('Material', { exact: true }).fill('epoxy resin');
  await bond.getByLabel('Batch', { exact: true }).fill('7');
  await bond.getByRole('button', { name: 'Record the bond' }).click();
  await bond.getByText('The bond is recorded.').waitFor();
  await sound(page, 'shards-kept-desk');

  await page.reload();
  await page.getByRole('button', { name: '1s5, locked' }).waitFor();
  expect(errors).toEqual([]);
});

it('is seen on a phone', async () => {
  const { page, errors } = await enter('phone');
  await page.getByRole('button', { name: '1s5, locked' }).waitFor();
  await sound(page, 'shards-phone');
  await page.getByRole('button', { name: /^pull up/ }).click();
  await page
    .getByRole('region', { name: 'What lies here' })
    .getByText(/covered/)
    .waitFor();
  await soundFromTheTop(page, 'shards-papers-phone');
  expect(errors).toEqual([]);
});
