/** The phone: photographs without a line, through reloads and kills, judged, kept, proven, exported. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import jsQR from 'jsqr';
import type { Browser, BrowserContext } from 'playwright-core';
import sharp from 'sharp';
import { fromBuffer } from 'yauzl';
import { TAG_CELLS, TAG_FAMILY, TAG_MM, targetLayout } from '#libs/rubbing';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, sizes } from './support/browser.js';
import {
  counts,
  digestsInArchive,
  openPhone,
  openWorkshop,
  type Photograph,
  photograph,
  photographs,
  take,
  untilNothingIsOnlyHere,
  untilShellIsKept,
  type Workshop,
} from './support/phone.js';
import { throughTroubles } from './support/phone-troubles.js';
import { saved } from './support/saved.js';

jest.setTimeout(420_000);

let workshop: Workshop;
let browser: Browser;
beforeAll(async () => {
  [workshop, browser] = await Promise.all([openWorkshop(), openBrowser()]);
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
    acceptDownloads: true,
    reducedMotion: 'reduce',
  });

/** Strips of the target sheet photographed square on, so many pixels to the millimetre. */
async function targetShot(pxPerMm: number, name: string): Promise<Photograph> {
  const layout = targetLayout('A4');
  const [widthMm, heightMm] = [320, 260];
  const [width, height] = [Math.round(widthMm * pxPerMm), Math.round(heightMm * pxPerMm)];
  const grey = Buffer.alloc(width * height, 235);
  const tags = layout.strips.flatMap((strip) =>
    strip.tags.map(({ id, xMm, yMm }) => ({ id, x: 10 + xMm, y: 20 + strip.topMm + yMm })),
  );
  const cellMm = TAG_MM / TAG_CELLS;
  for (const { id, x, y } of tags) {
    for (let v = Math.round(y * pxPerMm); v < (y + TAG_MM) * pxPerMm; v++) {
      for (let u = Math.round(x * pxPerMm); u < (x + TAG_MM) * pxPerMm; u++) {
        const column = Math.floor((u / pxPerMm - x) / cellMm) - 1;
        const row = Math.floor((v / pxPerMm - y) / cellMm) - 1;
        const isInside = column >= 0 && row >= 0 && column < 6 && row < 6;
        grey[v * width + u] = isInside && TAG_FAMILY[id]![6 * row + column] === 1 ? 235 : 30;
      }
    }
  }
  const buffer = await sharp(grey, { raw: { width, height, channels: 1 } })
    .blur(0.8)
    .jpeg({ quality: 92 })
    .toBuffer();
  return photograph(name, buffer);
}

describe('a photograph', () => {
  it('is taken, judged, sent, and proven in the archive; then the phone says which entry', async () => {
    const context = await newPhone();
    const page = await openPhone(context, workshop);
    expect(await barriers(page)).toEqual([]);
    await look(page, 'phone-camera-phone');
    const [shot] = await photographs(1, 5000);
    await take(page, [shot!]);
    await page
      .getByRole('listitem')
      .filter({ hasText: /in the archive, entry \d+/ })
      .waitFor();
    await page
      .getByText(/exposure holds/)
      .first()
      .waitFor();
    await look(page, 'phone-sent-phone');
    expect(await barriers(page)).toEqual([]);
    expect(await digestsInArchive(workshop.panel)).toContain(shot!.digest);
    await context.close();
  });

  it('by raking light asks where the lamp stands before every shot, and never fills it in', async () => {
    const context = await newPhone();
    const page = await openPhone(context, workshop);
    await page.getByRole('button', { name: 'change' }).click();
    await page.getByRole('radio', { name: 'raking' }).click();
    await page.getByRole('button', { name: 'To the camera' }).click();
    const camera = page.locator('.shutter input[capture]');
    expect(await camera.isDisabled()).toBe(true);
    expect(await page.locator('.clock [aria-checked="true"]').count()).toBe(0);
    await page.getByText('Say where the lamp stands').waitFor();
    await look(page, 'phone-lamp-phone');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('radio', { name: '9 o’clock' }).click();
    const shots = await photographs(1, 5100);
    await take(page, shots);
    await page.getByText('raking light from 9 o’clock').first().waitFor();
    await page.getByText('Say where the lamp stands').waitFor();
    expect(await page.locator('.clock [aria-checked="true"]').count()).toBe(0);
    await untilNothingIsOnlyHere(page, 60_000);
    const { media } = await workshop.panel.ask<{ media: { digest: string; light: unknown }[] }>('');
    expect(media.find(({ digest }) => digest === shots[0]!.digest)?.light).toMatchObject({
      kind: 'raking',
      clockHour: 9,
    });
    await context.close();
  });

  it('of a rubbing that is too coarse is refused with the number, kept on the phone, and not sent', async () => {
    const context = await newPhone();
    const page = await openPhone(context, workshop);
    await page.getByRole('button', { name: 'change' }).click();
    await page.getByRole('radio', { name: 'rubbing' }).click();
    await page.getByRole('button', { name: 'To the camera' }).click();
    // the engine needs 7.2 px over a face of 4 mm: 1.8 px to the millimetre
    const coarse = await targetShot(1.6, 'coarse.jpg');
    await take(page, [coarse]);
    await page
      .getByText(/Too coarse for a rubbing: 1\.[56] px to the millimetre; 1\.8 are/)
      .first()
      .waitFor();
    await look(page, 'phone-coarse-phone');
    expect(await barriers(page)).toEqual([]);
    expect(await counts(page)).toEqual({ here: 1, proven: 0 });
    const fine = await targetShot(4, 'fine.jpg');
    await take(page, [fine]);
    await page
      .getByText(/4\.0 px to the millimetre/)
      .first()
      .waitFor();
    await page
      .getByText(/camera leans about 0°/)
      .first()
      .waitFor();
    await page
      .getByRole('listitem')
      .filter({ hasText: /in the archive, entry \d+/ })
      .waitFor();
    const digests = await digestsInArchive(workshop.panel);
    expect(digests).toContain(fine.digest);
    expect(digests).not.toContain(coarse.digest);
    await page.getByRole('button', { name: 'Discard', exact: true }).click();
    await page.getByRole('button', { name: /Yes, discard/ }).click();
    await untilNothingIsOnlyHere(page, 10_000);
    await context.close();
  });
});

describe('a phone that runs full', () => {
  const withRoomFor = async (sizeBytes: number) => {
    const context = await newPhone();
    // 50 MB are left to the browser itself
    await context.addInitScript(`
      const estimate = async () => ({ usage: 1e9, quota: 1e9 + 50e6 + ${sizeBytes} });
      Object.defineProperty(StorageManager.prototype, 'estimate', { value: estimate });
    `);
    return { context, page: await openPhone(context, workshop) };
  };

  it('tells before it is full, and takes no picture that would not fit', async () => {
    const { context, page } = await withRoomFor(80e6);
    await page.getByText('Room for about 10 more pictures.').waitFor();
    expect(await page.locator('.shutter input[capture]').isEnabled()).toBe(true);
    await context.close();

    const full = await withRoomFor(7e6);
    await full.page.getByText('This phone is full: no picture is taken in.').waitFor();
    expect(await full.page.locator('.shutter input[capture]').isDisabled()).toBe(true);
    await look(full.page, 'phone-full-phone');
    expect(await barriers(full.page)).toEqual([]);
    await full.context.close();
  });

  it('keeps nothing of one picture that is larger than the room, and says so', async () => {
    const { context, page } = await withRoomFor(9e6);
    const large = photograph('large.jpg', Buffer.alloc(10_000_000, 1));
    await take(page, [large]);
    await page
      .getByText(/There is no room for this picture on this phone, and it was not taken in/)
      .waitFor();
    expect(await counts(page)).toEqual({ here: 0, proven: 0 });
    await context.close();
  });
});

describe('without a line', () => {
  it('opens cold, knows the panels, keeps what is taken through a reload, and sends it later', async () => {
    const context = await newPhone();
    let page = await openPhone(context, workshop);
    await untilShellIsKept(page);
    await page.close();
    await context.setOffline(true);
    page = await context.newPage();
    await page.goto(`${workshop.origin}/phone`);
    await page.getByText('no line: pictures and findings wait here').waitFor();
    await page.getByRole('button', { name: 'change' }).click();
    await page.getByLabel('Panel', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'To the camera' }).click();
    const shots = await photographs(3, 5200);
    await take(page, shots);
    await page.reload();
    await page.getByRole('heading', { name: '3 only on this phone' }).waitFor();
    await page.getByText('This page opens without a line.').waitFor();
    await look(page, 'phone-offline-phone');
    expect(await barriers(page)).toEqual([]);
    await context.setOffline(false);
    await untilNothingIsOnlyHere(page, 60_000);
    const there = await digestsInArchive(workshop.panel);
    for (const { digest } of shots) expect(there.filter((one) => one === digest)).toHaveLength(1);
    await context.close();
  });

  it('two tabs of one phone, and two phones at one panel, send every picture once', async () => {
    const [context, other] = [await newPhone(), await newPhone()];
    const page = await openPhone(context, workshop);
    const tab = await context.newPage();
    await tab.goto(`${workshop.origin}/phone`);
    const second = await openPhone(other, workshop);
    const shots = await photographs(8, 5300);
    await Promise.all([
      take(page, shots.slice(0, 3)),
      take(tab, shots.slice(3, 5)),
      take(second, shots.slice(5)),
    ]);
    for (const each of [page, tab, second]) await untilNothingIsOnlyHere(each, 60_000);
    const there = await digestsInArchive(workshop.panel);
    for (const { digest } of shots) expect(there.filter((one) => one === digest)).toHaveLength(1);
    expect((await counts(page)).proven).toBe(5);
    await Promise.all([context.close(), other.close()]);
  });
});

describe('through troubles', () => {
  it('60 pictures, 8 disconnects, reloads and kills: none lost, none doubled', async () => {
    const context = await newPhone();
    const report = await throughTroubles(workshop, context, {
      pictures: 60,
      troubles: 8,
      kills: 2,
      seed: 7,
    });
    expect(report).toMatchObject({ taken: 60, lost: [], doubled: 0, proven: 60 });
    expect(report.troubles.kill).toBe(2);
    await context.close();
  });
});

describe('if all else fails', () => {
  it('the queue goes out as one zip file, and a desk takes it up without doubles', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'mullion-queue-'));
    const context = await newPhone();
    const page = await openPhone(context, workshop);
    await context.setOffline(true);
    const shots = await photographs(4, 5400);
    await take(page, shots);
    const path = await saved(
      page,
      () => page.getByRole('button', { name: 'Export what lies only here' }).click(),
      folder,
    );
    expect(await namesInZip(readFileSync(path))).toHaveLength(5);

    const desk = await openPage(browser, 'desk');
    await workshop.panel.enter(desk.page.context());
    await desk.page.goto(`${workshop.origin}/phone`);
    await desk.page.getByText('connected', { exact: true }).waitFor();
    await desk.page.getByLabel('Take up an export').setInputFiles(path);
    await desk.page.getByText('4 pictures taken up.').waitFor();
    await untilNothingIsOnlyHere(desk.page, 60_000);
    await look(desk.page, 'phone-imported-desk');
    expect(await barriers(desk.page)).toEqual([]);

    await context.setOffline(false);
    await untilNothingIsOnlyHere(page, 60_000);
    const there = await digestsInArchive(workshop.panel);
    for (const { digest } of shots) expect(there.filter((one) => one === digest)).toHaveLength(1);
    expect(desk.errors).toEqual([]);
    await desk.page.context().close();
    await context.close();
    rmSync(folder, { recursive: true, force: true });
  });
});

describe('pairing', () => {
  it('a phone that reads the code on the desk is signed in by that alone, once, until it is ended', async () => {
    const desk = await openPage(browser, 'desk');
    const { page } = desk;
    await workshop.panel.enter(page.context());
    await page.goto(`${workshop.origin}/people`);
    const paper = page.getByRole('region', { name: 'Phones' });
    await paper.getByLabel('Name of the phone').fill('scaffold phone');
    await paper.getByLabel('For', { exact: true }).selectOption({ index: 1 });
    await paper.getByRole('button', { name: 'Show the code' }).click();
    const code = paper.getByRole('img', { name: 'Code that pairs one phone' });
    await code.scrollIntoViewIfNeeded();
    await look(page, 'phone-pairing-desk');
    expect(await barriers(page)).toEqual([]);
    const address = await readQr(await code.screenshot());
    expect(address.startsWith(`${workshop.origin}/phone#pair=`)).toBe(true);

    const context = await newPhone();
    const phone = await context.newPage();
    await phone.goto(address);
    await phone.getByText('connected', { exact: true }).waitFor();
    expect(phone.url()).not.toContain('pair=');
    await paper.getByRole('listitem').filter({ hasText: 'scaffold phone' }).waitFor();
    await paper.getByText(/recorder at SLM, since/).waitFor();

    const late = await newPhone();
    const latePage = await late.newPage();
    await latePage.goto(address);
    await latePage.getByText(/This code was used or is too old/).waitFor();

    const refused = await phone.evaluate<number>(`(async () => (await fetch('/v1/tokens', {
      method: 'POST', headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ label: 'x', scope: ['write'], expiresAt: new Date(Date.now() + 1e6).toISOString() }),
    })).status)()`);
    expect(refused).toBe(403);

    await paper.getByRole('button', { name: 'end scaffold phone' }).click();
    await paper.getByText('scaffold phone').waitFor({ state: 'detached' });
    await phone.reload();
    await phone.getByText('not signed in: pictures and findings wait here').waitFor();
    expect(desk.errors).toEqual([]);
    await Promise.all([context.close(), late.close(), page.context().close()]);
  });
});

describe('on the workshop’s network (--lan)', () => {
  it('the desk shows two codes and a fingerprint; the phone compares, then is signed in over TLS', async () => {
    const lan = await openWorkshop({ MULLION_LAN_ADDRESSES: '127.0.0.2' }, ['--lan']);
    const desk = await openPage(browser, 'desk');
    try {
      const { page } = desk;
      await lan.panel.enter(page.context());
      await page.goto(`${lan.origin}/people`);
      const paper = page.getByRole('region', { name: 'Phones' });
      await paper.getByRole('button', { name: 'Show the code' }).click();
      await paper.getByText(/First time with this phone/).click();
      const fingerprint = (await paper.locator('output.print').textContent()) ?? '';
      expect(fingerprint).toMatch(/^([0-9A-F]{2} ){31}[0-9A-F]{2}$/);
      const trust = paper.getByRole('img', { name: 'Code that leads to the trust page' });
      await trust.scrollIntoViewIfNeeded();
      await look(page, 'phone-lan-desk');
      expect(await barriers(page)).toEqual([]);
      const trustAddress = await readQr(await trust.screenshot());
      expect(trustAddress).toMatch(/^http:\/\/127\.0\.0\.2:\d+\/$/);

      // no phone's settings here: the browser is told to take the certificate
      const context = await browser.newContext({
        viewport: sizes.phone,
        hasTouch: true,
        isMobile: true,
        ignoreHTTPSErrors: true,
      });
      const phone = await context.newPage();
      await phone.goto(trustAddress);
      expect(await phone.locator('.print').textContent()).toBe(fingerprint);
      await look(phone, 'phone-trust-phone');
      expect(await barriers(phone)).toEqual([]);
      const pair = paper.getByRole('img', { name: 'Code that pairs one phone' });
      await pair.scrollIntoViewIfNeeded();
      await phone.goto(await readQr(await pair.screenshot()));
      await phone.getByText('connected', { exact: true }).waitFor();
      expect(phone.url()).toMatch(/^https:\/\/127\.0\.0\.2:\d+\/phone$/);
      await paper.getByRole('listitem').filter({ hasText: 'phone 1' }).waitFor();
      await context.close();
    } finally {
      await desk.page.context().close();
      await lan.stop();
    }
  });
});

async function readQr(png: Buffer): Promise<string> {
  const { data, info } = await sharp(png).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  const read = (jsQR as unknown as typeof jsQR.default)(
    new Uint8ClampedArray(data),
    info.width,
    info.height,
  );
  if (read === null) throw new Error('the code cannot be read');
  return read.data;
}

function namesInZip(bytes: Buffer): Promise<string[]> {
  return new Promise((resolve, reject) => {
    fromBuffer(bytes, { lazyEntries: false }, (error, zip) => {
      if (error) {
        reject(error);
        return;
      }
      const names: string[] = [];
      zip.on('entry', ({ fileName }: { fileName: string }) => names.push(fileName));
      zip.on('error', reject);
      zip.on('end', () => {
        resolve(names);
      });
    });
  });
}
