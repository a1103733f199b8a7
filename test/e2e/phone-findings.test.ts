/** Findings on the phone: without a line, through a lost answer, beside somebody else's correction, by keys alone. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { encodeQR } from 'qr';
import sharp from 'sharp';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, sizes } from './support/browser.js';
import { cameraOf } from './support/camera-of.js';
import { openWorkshop, untilShellIsKept, type Workshop } from './support/phone.js';
import { quarries } from './support/quarries.js';
import { saved } from './support/saved.js';

jest.setTimeout(240_000);

interface Finding {
  readonly findingId: string;
  readonly term: string;
  readonly inPanel: string | null;
  readonly note: string | null;
  readonly geometry: { readonly kind: string; readonly xyMm: readonly [number, number][] };
  readonly entrySeq: number;
  readonly version: number;
}

let workshop: Workshop;
let browser: Browser;
beforeAll(async () => {
  [workshop, browser] = await Promise.all([openWorkshop(), openBrowser()]);
  await workshop.panel.revise({ sketch: quarries, note: 'drawn for a test', face: 'inside' }, 0);
});
afterAll(async () => {
  await browser.close();
  await workshop.stop();
});

const newPhone = (): Promise<BrowserContext> =>
  browser.newContext({
    viewport: sizes.phone,
    hasTouch: true,
    isMobile: true,
    reducedMotion: 'reduce',
  });

/** The phone's room at the findings of the panel, which it knows from here on. */
async function atFindings(context: BrowserContext): Promise<Page> {
  await workshop.panel.enter(context);
  const page = await context.newPage();
  page.setDefaultTimeout(30_000);
  await page.goto(`${workshop.origin}/phone?mark=${workshop.panel.mark}`);
  await page.getByRole('radio', { name: 'findings' }).tap();
  await page.getByRole('heading', { name: 'What do you see?' }).waitFor();
  return page;
}

const found = async () => (await workshop.panel.ask<{ items: Finding[] }>('/findings')).items;
const lines = (page: Page) => page.getByRole('list', { name: 'Findings' });
const board = (page: Page) => page.getByRole('application');

/** Taps a place of the board, given as a share of its width and height. */
async function tapBoard(page: Page, x: number, y: number): Promise<void> {
  await board(page).scrollIntoViewIfNeeded();
  const box = (await board(page).boundingBox())!;
  await page.touchscreen.tap(box.x + x * box.width, box.y + y * box.height);
}

/** A crack across the piece in the middle of the panel. */
async function drawCrack(page: Page, note: string): Promise<void> {
  await page.getByRole('button', { name: 'crack', exact: true }).tap();
  await page.getByText('Tap the piece.').waitFor();
  await tapBoard(page, 0.5, 0.5);
  await page.getByText(/^piece \d+ · Tap along it: 2 more points/).waitFor();
  await tapBoard(page, 0.4, 0.5);
  await tapBoard(page, 0.6, 0.5);
  await page.getByText(/^piece \d+ · .*\d mm/).waitFor();
  await page.getByLabel('Note').fill(note);
}
const writeDown = (page: Page) => page.getByRole('button', { name: 'Write it down' }).tap();

describe('a finding on the phone', () => {
  it('is written down without a line, outlives a reload, and is in the archive once the line is back', async () => {
    const context = await newPhone();
    const page = await atFindings(context);
    await untilShellIsKept(page);
    await look(page, 'phone-findings-phone');
    expect(await barriers(page)).toEqual([]);
    await context.setOffline(true);
    await drawCrack(page, 'seen from the scaffold');
    await look(page, 'phone-finding-drawn-phone');
    expect(await barriers(page)).toEqual([]);
    await writeDown(page);
    await lines(page).getByText('only on this phone', { exact: true }).waitFor();
    await page.reload();
    await lines(page).getByText('only on this phone', { exact: true }).waitFor();
    await page.getByRole('heading', { name: '1 finding only on this phone' }).waitFor();
    expect((await found()).filter(({ note }) => note === 'seen from the scaffold')).toEqual([]);
    await context.setOffline(false);
    const line = lines(page).getByText(/^in the archive, entry \d+$/);
    await line.waitFor();
    const [told] = (await found()).filter(({ note }) => note === 'seen from the scaffold');
    expect(await line.textContent()).toBe(`in the archive, entry ${told!.entrySeq}`);
    expect(told).toMatchObject({ term: 'glass.crack.simple', geometry: { kind: 'line' } });
    // The quarry in the middle is 100 × 140 mm round (150, 210): the taps lie right and left of that place.
    const [[ax, ay], [bx, by]] = told!.geometry.xyMm as [[number, number], [number, number]];
    expect(ax).toBeLessThan(150);
    expect(bx).toBeGreaterThan(150);
    expect((ax + bx) / 2).toBeCloseTo(150, 0);
    expect([ay, by].map((y) => Math.abs(y - 210) < 1)).toEqual([true, true]);
    await line.scrollIntoViewIfNeeded();
    await look(page, 'phone-findings-proven-phone');
    expect(await barriers(page)).toEqual([]);
    await context.close();
  });

  it('is there once though the answer to it was lost', async () => {
    const context = await newPhone();
    const page = await atFindings(context);
    let lost = 0;
    await page.route('**/v1/panels/*/findings', async (route) => {
      if (route.request().method() !== 'POST' || lost > 0) return route.fallback();
      lost++;
      await route.fetch();
      await route.abort('connectionreset');
    });
    await drawCrack(page, 'answer lost');
    await writeDown(page);
    await lines(page)
      .getByText(/^in the archive, entry \d+$/)
      .waitFor();
    expect(lost).toBe(1);
    expect((await found()).filter(({ note }) => note === 'answer lost')).toHaveLength(1);
    await context.close();
  });

  it('that was changed meanwhile is shown beside the archive’s, and only a person’s word settles it', async () => {
    const { panel } = workshop;
    const line = {
      kind: 'line',
      xyMm: [
        [120, 200],
        [170, 220],
      ],
    };
    const base = { term: 'glass.crack.simple', geometry: line, face: 'inside' };
    const { findingId, version } = await panel.post<Finding>('/findings', {
      ...base,
      note: 'as first seen',
    });
    const context = await newPhone();
    const page = await atFindings(context);
    const before = page.getByRole('region', { name: 'Found before' });
    const correct = async (note: string) => {
      await before
        .getByRole('listitem')
        .filter({ hasText: 'as first seen' })
        .getByRole('button', { name: /^correct/ })
        .tap();
      await page.getByLabel('Note').fill(note);
      await writeDown(page);
    };
    await before.getByText(/as first seen/).waitFor();
    await context.setOffline(true);
    await correct('from the phone');
    const desk = { ...base, note: 'from the desk' };
    await panel.put(`/v1/findings/${findingId}`, desk, version);
    await context.setOffline(false);
    const both = page.getByRole('article', { name: /Changed meanwhile: crack/ });
    await both.getByText('from the phone').waitFor();
    await both.getByText('from the desk').waitFor();
    await page.getByRole('button', { name: 'look at 1 finding' }).tap();
    await look(page, 'phone-finding-both-phone');
    expect(await barriers(page)).toEqual([]);
    expect((await found()).find((one) => one.findingId === findingId)?.note).toBe('from the desk');
    await both.getByRole('button', { name: /Mine stands/ }).tap();
    await lines(page)
      .getByText(/^in the archive, entry \d+$/)
      .waitFor();
    expect((await found()).find((one) => one.findingId === findingId)?.note).toBe('from the phone');
    await context.close();
  });

  it('is written down by keys alone', async () => {
    const context = await newPhone();
    await workshop.panel.enter(context);
    const page = await context.newPage();
    await page.goto(`${workshop.origin}/phone?mark=${workshop.panel.mark}`);
    const tabTo = async (name: RegExp | string) => {
      for (let i = 0; i < 120; i++) {
        await page.keyboard.press('Tab');
        const label = await page.evaluate<string>(`(() => {
          const at = document.activeElement;
          return (at?.getAttribute('aria-label') ?? at?.labels?.[0]?.textContent ?? at?.textContent ?? '').trim();
        })()`);
        if (typeof name === 'string' ? label === name : name.test(label)) return;
      }
      throw new Error(`no Tab leads to ${String(name)}`);
    };
    const press = async (...keys: string[]) => {
      for (const key of keys) await page.keyboard.press(key);
    };
    await page.getByRole('radio', { name: 'photographs' }).waitFor();
    await tabTo('photographs');
    await press('ArrowRight');
    await page.getByRole('heading', { name: 'What do you see?' }).waitFor();
    await tabTo('Term');
    await page.keyboard.type('gc');
    await press('Enter');
    await tabTo(/^Panel SLM/);
    await press('Enter');
    await page.getByText(/Tap along it/).waitFor();
    await press(
      'ArrowLeft',
      'ArrowLeft',
      'Enter',
      'ArrowRight',
      'ArrowRight',
      'ArrowRight',
      'Enter',
    );
    await look(page, 'phone-finding-keys-phone');
    await tabTo('Note');
    await page.keyboard.type('by keys');
    await tabTo('Write it down');
    await press('Enter');
    await lines(page)
      .getByText(/^in the archive, entry \d+$/)
      .waitFor();
    expect((await found()).filter(({ note }) => note === 'by keys')).toHaveLength(1);
    await context.close();
  });
});

describe('what waits on the phone', () => {
  it('goes out as a file; somebody else’s desk and the emptied phone take it in, and it is there once', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'mullion-queue-'));
    const { origin, panel } = workshop;
    const context = await newPhone();
    const page = await atFindings(context);
    await context.setOffline(true);
    await drawCrack(page, 'exported');
    await writeDown(page);
    const place = `lifts ${panel.panelId}`;
    const list = JSON.stringify({ 1: { mark: '1', is: 'lifted' } });
    await page.evaluate(
      ([key, value]) => {
        localStorage.setItem(key!, value!);
      },
      [place, list],
    );
    const keeping = (on: Page) => on.getByRole('region', { name: /safe it is here|Safe here/ });
    const file = await saved(
      page,
      () => keeping(page).getByRole('button', { name: 'Export what lies only here' }).tap(),
      folder,
    );
    await keeping(page)
      .getByText(/1 finding, 1 list\. All of it stays here/)
      .waitFor();

    const login = { login: 'desk', password: 'nine quiet otters in a weir' };
    await panel.keeper.post('/v1/people', {
      ...login,
      displayName: 'Desk',
      roles: [{ siteId: panel.siteId, role: 'recorder' }],
    });
    const desk = await openPage(browser, 'desk');
    await desk.page.request.post(`${origin}/v1/session`, { data: login });
    await desk.page.goto(`${origin}/phone?task=findings`);
    await desk.page.getByText('connected', { exact: true }).waitFor();
    await desk.page.getByLabel('Take up an export').setInputFiles(file);
    await keeping(desk.page).getByText('1 finding, 1 list taken up.').waitFor();
    const told = lines(desk.page).getByText(/^in the archive, entry \d+$/);
    await told.waitFor();
    expect(await desk.page.evaluate((key) => localStorage.getItem(key), place)).toBe(list);
    await keeping(desk.page).scrollIntoViewIfNeeded();
    await look(desk.page, 'phone-taken-up-desk');
    expect(await barriers(desk.page)).toEqual([]);

    // the phone comes back to a line: it proves the entry of the other device, and records nothing more
    await context.setOffline(false);
    const own = lines(page).getByText(/^in the archive, entry \d+$/);
    await own.waitFor();
    expect(await own.textContent()).toBe(await told.textContent());

    // a phone whose storage was cleared, and its owner's copy of the file
    const emptied = await newPhone();
    const again = await atFindings(emptied);
    await again.getByLabel('Take up an export').setInputFiles(file);
    await keeping(again).getByText('1 finding, 1 list taken up.').waitFor();
    await lines(again)
      .getByText(/^in the archive, entry \d+$/)
      .waitFor();
    expect((await found()).filter(({ note }) => note === 'exported')).toHaveLength(1);
    expect(desk.errors).toEqual([]);
    await Promise.all([context.close(), emptied.close(), desk.page.context().close()]);
    rmSync(folder, { recursive: true, force: true });
  });
});

describe('the label of a panel', () => {
  /** The first label of our own sheet, as the print room draws the file that is printed. */
  async function printedSheet(): Promise<Buffer> {
    const desk = await openPage(browser, 'desk');
    await workshop.panel.enter(desk.page.context());
    await desk.page.goto(`${workshop.origin}/at/${workshop.panel.mark}/print`);
    await desk.page.getByRole('radio', { name: 'labels' }).click();
    await desk.page.getByRole('button', { name: 'page 1' }).click();
    const sheet = desk.page.locator('.page-large canvas[data-drawn="true"]');
    await sheet.waitFor();
    const address = await sheet.evaluate((canvas) =>
      (canvas as unknown as { toDataURL(): string }).toDataURL(),
    );
    await desk.page.context().close();
    return Buffer.from(address.split(',')[1]!, 'base64');
  }
  const pngOf = (text: string): Promise<Buffer> =>
    sharp(Buffer.from(encodeQR(text, 'svg')), { density: 300 })
      .resize(500, 500, { kernel: 'nearest' })
      .flatten({ background: '#fff' })
      .png()
      .toBuffer();
  const reader = (page: Page) => page.getByRole('region', { name: 'Read a label' });
  const photographLabel = (page: Page, buffer: Buffer) =>
    reader(page)
      .getByLabel('Photograph the label')
      .setInputFiles({ name: 'label.png', mimeType: 'image/png', buffer });

  it('is read from its photograph, told when it is not known here, and its mark can be typed', async () => {
    const sheet = await printedSheet();
    const context = await newPhone();
    const page = await atFindings(context);
    await untilShellIsKept(page);
    // on the scaffold there is no line: the program that reads it lies on the phone
    await context.setOffline(true);
    await page.getByRole('button', { name: 'Read a label' }).tap();
    await photographLabel(page, await pngOf('https://archive.example/at/SLM.wI.9z'));
    await page.getByText(/^SLM\.wI\.9z is no panel that this phone knows/).waitFor();
    await look(page, 'phone-label-phone');
    expect(await barriers(page)).toEqual([]);
    await photographLabel(
      page,
      await sharp(Buffer.alloc(300 * 300, 200), { raw: { width: 300, height: 300, channels: 1 } })
        .png()
        .toBuffer(),
    );
    await page.getByText(/^No code is read/).waitFor();
    await photographLabel(page, sheet);
    await page.getByText('SLM.wI.1a, as its label says.').waitFor();
    await page.getByRole('heading', { name: 'What do you see?' }).waitFor();
    await page.getByRole('button', { name: 'Read a label' }).tap();
    await page.getByLabel('or type its mark').fill('wI.1a.3');
    await page.keyboard.press('Enter');
    await page.getByText('SLM.wI.1a.3, as its label says.').waitFor();
    await page.getByRole('radio', { name: 'photographs' }).tap();
    await page.getByRole('button', { name: 'Read a label' }).tap();
    await photographLabel(page, sheet);
    await page.getByText(/^SLM\.wI\.1a$/).waitFor();
    await page.getByText('transmitted light, inside').first().waitFor();
    await context.close();
  });

  it('is read by the camera that it is held before', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'mullion-camera-'));
    const label = await pngOf(`${workshop.origin}/at/${workshop.panel.mark}.2`);
    const seeing = await openBrowser(await cameraOf(label, folder));
    const context = await seeing.newContext({
      viewport: sizes.phone,
      hasTouch: true,
      isMobile: true,
    });
    const page = await atFindings(context);
    await page.getByRole('button', { name: 'Read a label' }).tap();
    await page.getByRole('button', { name: 'Hold it before the camera' }).tap();
    await page.getByText('SLM.wI.1a.2, as its label says.').waitFor();
    await seeing.close();
    rmSync(folder, { recursive: true, force: true });
  });
});
