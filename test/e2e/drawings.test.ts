/** Two drawings held against each other, prints and files, a cartoon taken in, the target sheet. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import type { NetSketch } from '#libs/net';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type Watched } from './support/browser.js';
import { type DrawnPanel, drawnPanel } from './support/drawn-panel.js';
import { quarries } from './support/quarries.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';
import { saved } from './support/saved.js';

jest.setTimeout(240_000);

/** The same, with the face of one lead gauged at 8.5 mm instead of 6. */
const gauged: NetSketch = {
  ...quarries,
  leads: quarries.leads.map((lead, index) =>
    index === quarries.leads.findIndex(({ kind }) => kind === 'came')
      ? { ...lead, faceWidthMm: 8.5 }
      : lead,
  ),
};

/** 200 × 100 mm, parted by a line that ends 0.3 mm short of the edge below. */
const cartoon = `<svg xmlns="http://www.w3.org/2000/svg" width="220mm" height="120mm" viewBox="0 0 220 120">
  <g id="outer"><rect x="10" y="10" width="200" height="100" fill="none" stroke="#000"/></g>
  <g id="lead"><path d="M90 10 V109.7" fill="none" stroke="#000"/></g>
</svg>`;

describe('lead drawings beside the bench', () => {
  let mullion: RunningMullion;
  let browser: Browser;
  let watched: Watched;
  let page: Page;
  let panel: DrawnPanel;
  const files = mkdtempSync(join(tmpdir(), 'mullion-drawings-'));

  beforeAll(async () => {
    [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
    panel = await drawnPanel(mullion, quarries);
    await panel.revise({ sketch: gauged, note: 'gauged at a cut end' }, 1);
    watched = await openPage(browser, 'desk');
    page = watched.page;
    page.setDefaultTimeout(40_000);
    await panel.enter(page.context());
  });
  afterAll(async () => {
    await browser.close();
    await mullion.stop();
    rmSync(files, { recursive: true, force: true });
  });
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });

  it('lists the revisions on the bench with what each changed', async () => {
    await page.goto(`${mullion.origin}/at/${panel.mark}`);
    const revisions = page.getByRole('list', { name: 'Revisions of the lead drawing' });
    await revisions.getByText('1 lead of another width').waitFor();
    await revisions.getByText('gauged at a cut end').waitFor();
    await revisions.getByRole('link', { name: 'compare revision 2 with 1' }).click();
    await page.getByRole('heading', { name: 'Revision 1 → 2' }).waitFor();
  });

  it('shows a change in every way of looking, by keys', async () => {
    const changes = page.getByRole('list', { name: 'Changes' });
    const change = changes.getByRole('button', { name: /face 6\.0 → 8\.5 mm/ });
    await change.waitFor();
    await page.keyboard.press('n');
    expect(await change.getAttribute('aria-current')).toBe('true');
    for (const way of ['side by side', 'swiped', 'one, then the other', 'overlaid']) {
      await page.getByRole('radio', { name: way }).click();
      await look(page, `compare-${way.replaceAll(/\W+/g, '-')}-desk`);
      expect(await barriers(page)).toEqual([]);
    }
  });

  it('blinks to the earlier drawing as long as the key is held', async () => {
    const board = page.getByRole('application', { name: /Lead drawings of/ });
    const shown = (words: string) => page.getByRole('status').getByText(words, { exact: true });
    // read in the page once drawn: the canvas is replaced when the drawing changes
    const canvas = () =>
      board.evaluate(
        (element) =>
          new Promise<string>((done) => {
            const read = () => {
              done(element.querySelector('canvas')!.toDataURL());
            };
            requestAnimationFrame(() => requestAnimationFrame(read));
          }),
      );
    await page.getByRole('radio', { name: 'one, then the other' }).click();
    await shown('revision 2').waitFor();
    const later = await canvas();
    await page.keyboard.down('b');
    await shown('revision 1').waitFor();
    const earlier = await canvas();
    await page.keyboard.up('b');
    await shown('revision 2').waitFor();
    expect(earlier).not.toBe(later);
    expect(await canvas()).toBe(later);
  });

  it('shows the pages that the PDF has, mirrored too, and the list of came', async () => {
    await page.goto(`${mullion.origin}/at/${panel.mark}/print`);
    await page.getByText(/\d+ pages of A4/).waitFor();
    await page.getByRole('radio', { name: 'A3' }).click();
    await page.getByText(/\d+ pages of A3/).waitFor();
    await page.getByRole('radio', { name: 'outside, mirrored' }).click();
    await page.getByText(/\d+ pages of A3/).waitFor();
    await page.getByRole('button', { name: 'page 2' }).click();
    await page.locator('canvas[data-drawn="true"]').waitFor();
    await look(page, 'print-page-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('radio', { name: 'came and glass schedule' }).click();
    await page.getByLabel('Length of a stick, mm').fill('2000');
    await page
      .getByRole('region', { name: 'Schedule' })
      .getByText('piece', { exact: true })
      .waitFor();
    await look(page, 'schedule-desk');
    expect(await barriers(page)).toEqual([]);
    for (const [name, begins] of [
      ['SVG', /^(<\?xml|<svg)/],
      ['GeoJSON', /^\{/],
      ['JSON', /^\{/],
      ['DXF', /^\s*(0|999)\r?\n/],
    ] as const) {
      const link = page.getByRole('link', { name, exact: true });
      const path = await saved(page, () => link.click(), files);
      expect(readFileSync(path, 'utf8').slice(0, 80)).toMatch(begins);
    }
  });

  it('takes a cartoon in, with what had to be put right', async () => {
    const file = join(files, 'two-lights.svg');
    writeFileSync(file, cartoon);
    await page.goto(`${mullion.origin}/at/${panel.mark}/import`);
    await look(page, 'import-empty-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByLabel('Choose a file').setInputFiles(file);
    const repairs = page.getByRole('list', { name: 'Repairs' });
    await repairs
      .getByText(/0\.3 mm/)
      .first()
      .waitFor();
    await page.getByRole('row', { name: 'size 200 × 100 mm' }).waitFor();
    await page.getByRole('row', { name: 'pieces 2' }).waitFor();
    await repairs
      .getByRole('button', { name: /0\.3 mm/ })
      .first()
      .click();
    await look(page, 'import-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: 'Take it as revision 3' }).click();
    await page.getByText(/revision 3 not signed/).waitFor();
  });

  it('says what is wrong with a file that is no cartoon', async () => {
    const file = join(files, 'notes.svg');
    writeFileSync(file, 'only some words');
    await page.goto(`${mullion.origin}/at/${panel.mark}/import`);
    await page.getByLabel('Choose a file').setInputFiles(file);
    expect(await page.getByRole('alert').textContent()).toMatch(/\w{20,}|\w+ \w+ \w+/);
  });

  it('prints the target sheet and lists the lenses', async () => {
    await page.goto(`${mullion.origin}/lenses`);
    await page.getByText('No lens is calibrated yet.').waitFor();
    const path = await saved(
      page,
      () => page.getByRole('link', { name: 'Print on A4' }).click(),
      files,
    );
    expect(readFileSync(path).subarray(0, 5).toString()).toBe('%PDF-');
    await look(page, 'lenses-desk');
    expect(await barriers(page)).toEqual([]);
  });

  const screens = ['compare', 'print', 'import', 'found'] as const;
  describe('on a phone', () => {
    let phone: Watched;
    beforeAll(async () => {
      phone = await openPage(browser, 'phone');
      await panel.enter(phone.page.context());
    });
    afterAll(() => phone.page.context().close());

    it.each(screens)('%s has no barrier, no sideways scroll and no error', async (act) => {
      await phone.page.goto(`${mullion.origin}/at/${panel.mark}/${act}`);
      await phone.page.getByRole('heading').first().waitFor();
      await phone.page.waitForLoadState('networkidle');
      await look(phone.page, `${act}-phone`);
      expect(await barriers(phone.page)).toEqual([]);
      expect(await phone.page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBe(
        0,
      );
      expect(phone.errors).toEqual([]);
    });
  });
});
