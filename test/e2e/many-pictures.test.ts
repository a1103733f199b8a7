/**
 * A panel with more pictures than come with it. Here five come at first and four at a time: the browser
 * asks the archive for so few, which answers as it does for hundreds.
 */
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type SizeName, type Watched } from './support/browser.js';
import { type DrawnPanel, drawnPanel } from './support/drawn-panel.js';
import { layPicture } from './support/laid-pictures.js';
import { quarries } from './support/quarries.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';

jest.setTimeout(180_000);
const AT_FIRST = 5;
const AT_ONCE = 4;

interface Media {
  readonly mediaId: string;
  readonly fileName: string;
  readonly kind: string;
}

let mullion: RunningMullion;
let browser: Browser;
let panel: DrawnPanel;
let laid: string;
/** hours of the lamp, so that each picture has words of its own, the oldest first */
const hours = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];

beforeAll(async () => {
  [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
  panel = await drawnPanel(mullion, quarries);
  laid = await layPicture(panel, [300, 420], { light: 'transmitted', colour: '#c03028' });
  for (const hour of hours) {
    await send({ fileName: `lamp ${hour}.jpg`, light: 'raking', clockHour: String(hour) });
    if (hour === 4) await send({ fileName: 'letter.jpg', kind: 'document' });
  }
});
afterAll(async () => {
  await browser.close();
  await mullion.stop();
});

let shade = 0;
async function send(said: Readonly<Record<string, string>>): Promise<void> {
  const { keeper, siteId, mark } = panel;
  const query = new URLSearchParams({
    kind: 'photograph',
    stage: 'before',
    subjects: mark,
    ...said,
  });
  const bytes = await sharp({
    create: { width: 300, height: 200, channels: 3, background: `hsl(${(shade += 25)}, 40%, 45%)` },
  })
    .jpeg()
    .toBuffer();
  await keeper.send(`/v1/sites/${siteId}/media?${query.toString()}`, bytes, 'image/jpeg');
}

/** A page to which only so many pictures come at once. */
async function enter(size: SizeName, locale?: string): Promise<Watched> {
  const watched = await openPage(browser, size, locale);
  const { page } = watched;
  page.setDefaultTimeout(20_000);
  await panel.enter(page.context());
  const path = `**/v1/panels/${panel.panelId}`;
  await page.route(path, async (route) => {
    if (route.request().method() !== 'GET') return route.continue();
    const response = await route.fetch();
    const whole = (await response.json()) as {
      media: Media[];
      placements: { mediaId: string }[];
    };
    const first = await panel.ask<{ items: Media[]; next: string | null }>(
      `/media?limit=${AT_FIRST}`,
    );
    const come = new Set([...first.items, ...whole.placements].map(({ mediaId }) => mediaId));
    const media = whole.media.filter(({ mediaId }) => come.has(mediaId));
    return route.fulfill({ response, json: { ...whole, media, mediaNext: first.next } });
  });
  await page.route(`${path}/media?*`, (route) => {
    const url = new URL(route.request().url());
    url.searchParams.set('limit', String(AT_ONCE));
    return route.continue({ url: url.href });
  });
  await page.goto(`${mullion.origin}/at/${panel.mark}`);
  return watched;
}

const strip = (page: Page) => page.getByRole('complementary', { name: 'Pictures of this panel' });
const paper = (page: Page) => page.getByRole('region', { name: 'Pictures and documents' });
const older = (page: Page) => strip(page).getByRole('button', { name: 'older ones' });
const shows = (page: Page, words: string) =>
  strip(page).getByRole('status').filter({ hasText: words }).waitFor();
/** Hours of the lamp in the order of the strip. */
const hoursOf = async (page: Page) =>
  (await strip(page).locator('[data-media] .face-words').allInnerTexts()).flatMap((words) => {
    const hour = /from (\d+) o’clock/.exec(words)?.[1];
    return hour === undefined ? [] : [Number(hour)];
  });
const stage = (page: Page) => strip(page).getByLabel('Stage of the work');
const inStrip = (page: Page) => strip(page).locator('[data-media] .face-words').allInnerTexts();
const focused = (page: Page) => page.evaluate(() => document.activeElement?.textContent ?? '');
const downFrom = (hour: number, to: number) =>
  Array.from({ length: hour - to + 1 }, (_, i) => hour - i);

describe('at the desk', () => {
  let watched: Watched;
  let page: Page;
  beforeAll(async () => {
    watched = await enter('desk');
    ({ page } = watched);
  });
  afterAll(() => page.context().close());
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });

  it('says how many there are; the oldest, which is laid, is there without asking', async () => {
    await shows(page, '6 of 13');
    expect(await hoursOf(page)).toEqual(downFrom(12, 8));
    await strip(page)
      .getByRole('button', { name: /transmitted light/ })
      .waitFor();
    await paper(page).getByText('6 of 14').waitFor();
    await look(page, 'many-pictures-desk');
    expect(await barriers(page)).toEqual([]);
  });

  it('goes to older ones by keys and stands at the first of them, from which one goes on to lay it', async () => {
    await older(page).focus();
    await page.keyboard.press('Enter');
    await shows(page, '9 of 13');
    expect(await hoursOf(page)).toEqual(downFrom(12, 5));
    expect(await focused(page)).toContain('from 7 o’clock');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.getByText('laying the picture in raking light from 7 o’clock').waitFor();
    await page.goBack();
    await shows(page, '9 of 13');
  });

  it('comes to the end: all, each once, in the archive’s order', async () => {
    await older(page).click();
    // the last one of the archive’s list is here already: nobody is sent for it
    await shows(page, 'all 13');
    expect(await hoursOf(page)).toEqual(downFrom(12, 1));
    await older(page).waitFor({ state: 'detached' });
    const names = (await paper(page).locator('[data-media] p:first-child').allInnerTexts()).map(
      (words) => words.split(':')[0],
    );
    const { items } = await panel.ask<{ items: Media[] }>('/media');
    expect(names).toEqual(items.map(({ fileName }) => fileName));
    await look(page, 'many-pictures-desk-all');
  });

  it('keeps them when the panel is read anew: an old one is withdrawn while a new one comes in', async () => {
    await send({ fileName: 'late.jpg', light: 'reflected', stage: 'after' });
    await paper(page).getByRole('button', { name: 'withdraw lamp 2.jpg' }).click();
    await page.getByLabel('Why is it withdrawn?').fill('sent to the wrong panel');
    await page.getByLabel('Who asked for it?').fill('Studio head');
    await page.getByRole('button', { name: 'Destroy the file' }).click();
    await paper(page).locator('li', { hasText: 'lamp 2.jpg' }).getByText('Withdrawn on').waitFor();
    await shows(page, 'all 14');
    expect(await hoursOf(page)).toEqual(downFrom(12, 1));
    await strip(page).getByText('reflected light').waitFor();
  });

  it('keeps an old one that is laid now, also when the page is opened by its address', async () => {
    const { items } = await panel.ask<{ items: Media[] }>('/media');
    const { mediaId } = items.find(({ fileName }) => fileName === 'lamp 3.jpg')!;
    await panel.keeper.put(`/v1/panels/${panel.panelId}/placements/${mediaId}`, {
      points: (
        [
          [0, 0],
          [300, 0],
          [300, 200],
          [0, 200],
        ] as const
      ).map(([x, y]) => ({ imageXyPx: [x, y], panelXyMm: [x, y * 2.1] })),
    });
    await page.goto(`${mullion.origin}/at/${panel.mark}?photo=${laid}&over=${mediaId}`);
    await strip(page)
      .getByRole('button', { name: /^lies over it ?: raking light from 3 o’clock/ })
      .waitFor();
    await shows(page, '7 of 14');
    await page.goto(`${mullion.origin}/at/${panel.mark}/lay/${items.at(-2)!.mediaId}`);
    await page.getByText('laying the picture in raking light from 1 o’clock').waitFor();
  });

  it('shows those of one stage of the work, and keeps that in the address', async () => {
    await page.goto(`${mullion.origin}/at/${panel.mark}`);
    await shows(page, '7 of 14');
    expect(await stage(page).locator('option').allTextContents()).toEqual([
      '7 of 14',
      'before 6',
      'after 1',
    ]);
    await stage(page).selectOption({ label: 'after 1' });
    expect(await inStrip(page)).toEqual([expect.stringContaining('reflected light, after')]);
    await look(page, 'many-pictures-stage-desk');
    await page.reload();
    await shows(page, '7 of 14');
    expect(await stage(page).inputValue()).toBe('after');
    expect(await inStrip(page)).toHaveLength(1);
    // older ones of the other stage come in without being shown
    await older(page).click();
    await shows(page, '11 of 14');
    expect(await inStrip(page)).toHaveLength(1);
    await stage(page).selectOption({ label: 'before 10' });
    expect(await inStrip(page)).toHaveLength(10);
    await stage(page).selectOption({ label: '11 of 14' });
    expect(await inStrip(page)).toHaveLength(11);
    expect(new URL(page.url()).searchParams.has('stage')).toBe(false);
  });
});

it('by finger, on the phone, where a cut line is said and asking once more mends it', async () => {
  const { page, errors } = await enter('phone');
  await shows(page, '7 of 14');
  await look(page, 'many-pictures-phone');
  await page.route('**/media?*', (route) => route.abort());
  await older(page).tap();
  await strip(page).getByRole('alert').filter({ hasText: 'cannot be reached' }).waitFor();
  await look(page, 'many-pictures-phone-cut');
  await page.unroute('**/media?*');
  await older(page).tap();
  await shows(page, '11 of 14');
  expect(await focused(page)).toContain('from 8 o’clock');
  // the first of those that came is in view
  const place = (await strip(page).locator('li:focus').boundingBox())!;
  expect(place.x).toBeGreaterThanOrEqual(0);
  expect(place.x + place.width).toBeLessThanOrEqual(390);
  await look(page, 'many-pictures-phone-older');
  await stage(page).selectOption({ label: 'before 10' });
  expect(await inStrip(page)).toHaveLength(10);
  await look(page, 'many-pictures-stage-phone');
  expect(await barriers(page)).toEqual([]);
  expect(errors).toEqual([]);
  await page.context().close();
});

it('where a picture of a test is chosen, older ones can be had as well', async () => {
  const { page, errors } = await enter('desk');
  await page.goto(`${mullion.origin}/at/${panel.mark}/tests`);
  const pictures = page.getByRole('group', { name: 'Pictures of the test' });
  await pictures.getByText('7 of 14').waitFor();
  await pictures.getByRole('button', { name: 'older ones' }).click();
  const eight = pictures.getByRole('button', { name: /from 8 o’clock/ });
  await eight.waitFor();
  await eight.click();
  await pictures.getByRole('button', { name: /from 8 o’clock/, pressed: true }).waitFor();
  await look(page, 'many-pictures-tests');
  expect(await barriers(page)).toEqual([]);
  expect(errors).toEqual([]);
  await page.context().close();
});
