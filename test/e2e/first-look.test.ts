/** Before the map's engine is here the window is painted already, in the place where it stays. */
import { jest } from '@jest/globals';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { look, type SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';

jest.setTimeout(180_000);

const chapel = chapelOfTests();

/** A page whose map waits until it is let go on. */
async function held(size: SizeName, path: string) {
  const page = await chapel.enter(size, '/people');
  let goOn: () => void = () => undefined;
  const gone = new Promise<void>((resolve) => {
    goOn = resolve;
  });
  await page.route(/\/assets\/wall-map-[^/]*\.js$/, async (route) => {
    await gone;
    await route.continue();
  });
  await page.goto(chapel.origin + path);
  await page.locator('.first-look[data-pieces]').waitFor({ timeout: 60_000 });
  await page.locator('.legend').waitFor();
  return { page, goOn };
}

async function picture(page: Page) {
  const sheet = page.locator('.sheet').first();
  const { data, info } = await sharp(await sheet.screenshot())
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { data, width: info.width, height: info.height };
}

describe.each(['desk', 'phone'] as const)('on the %s', (size) => {
  it.each(['/at/SLM.wI', '/at/SLM.wI?show=condition', '/at/SLM', '/'])(
    'the first look at %s is the picture that the map gives',
    async (path) => {
      const { page, goOn } = await held(size, path);
      await page.waitForTimeout(800);
      const first = await picture(page);
      await look(page, `first-look-${size}-${path.replaceAll(/\W+/g, '-')}`);
      goOn();
      await page.locator('.sheet-map canvas').first().waitFor({ state: 'attached' });
      await page.locator('.first-look').waitFor({ state: 'detached', timeout: 60_000 });
      await page.waitForTimeout(500);
      const map = await picture(page);
      await look(page, `first-look-${size}-${path.replaceAll(/\W+/g, '-')}-map`);
      expect([map.width, map.height]).toEqual([first.width, first.height]);
      // Edges are smoothed by another hand; a line that lay one px beside itself would differ by far more.
      const off = first.data.reduce(
        (count, value, i) => count + (Math.abs(value - map.data[i]!) > 48 ? 1 : 0),
        0,
      );
      expect(off / first.data.length).toBeLessThan(0.002);
      // and there is something to see
      const light = first.data.reduce((sum, value) => sum + value, 0) / first.data.length;
      const drawn = first.data.filter((value) => Math.abs(value - light) > 40).length;
      expect(drawn / first.data.length).toBeGreaterThan(0.01);
      await page.context().close();
    },
  );
});
