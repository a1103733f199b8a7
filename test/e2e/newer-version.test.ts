/** A newer Mullion on the phone: it lies ready beside the one in use, and takes over when a person says so. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage } from './support/browser.js';
import { openPhone, openWorkshop, untilShellIsKept, type Workshop } from './support/phone.js';
import { built } from './support/running-mullion.js';

jest.setTimeout(180_000);

/** The built screens, to be changed while a page is open. */
const screens = mkdtempSync(join(tmpdir(), 'mullion-screens-'));
const worker = join(screens, 'service-worker.js');
let workshop: Workshop;
let browser: Browser;
beforeAll(async () => {
  cpSync(join(built, 'dist/apps/studio'), screens, { recursive: true });
  [workshop, browser] = await Promise.all([
    openWorkshop({ MULLION_STUDIO_DIR: screens }),
    openBrowser(),
  ]);
});
afterAll(async () => {
  await browser.close();
  await workshop.stop();
  rmSync(screens, { recursive: true, force: true });
});

/** What the browser itself says of its workers (W3C Service Workers). */
const workers = (page: Page) =>
  page.evaluate<{ waits: boolean; shells: string[] }>(`(async () => ({
    waits: (await navigator.serviceWorker.getRegistration()).waiting !== null,
    shells: await caches.keys(),
  }))()`);

it('waits beside the version in use, through a reload too, and takes over only when it is told', async () => {
  const { page, errors } = await openPage(browser, 'phone');
  const phone = await openPhone(page.context(), workshop);
  await untilShellIsKept(phone);
  const [before] = (await workers(phone)).shells;
  await phone.evaluate('globalThis.stood = true');

  const text = readFileSync(worker, 'utf8');
  const version = before!.replace(/^mullion-shell-/, '');
  expect(text).toContain(version);
  writeFileSync(worker, text.replaceAll(version, `${version}-newer`));
  await phone.evaluate('navigator.serviceWorker.getRegistration().then((one) => one.update())');
  const notice = phone.getByText('A newer Mullion lies ready on this phone.');
  await notice.waitFor();
  await look(phone, 'phone-newer-phone');
  expect(await barriers(phone)).toEqual([]);
  expect((await workers(phone)).waits).toBe(true);
  expect(await phone.evaluate('globalThis.stood')).toBe(true);

  await phone.reload();
  await notice.waitFor();
  expect((await workers(phone)).waits).toBe(true);

  await phone.evaluate('globalThis.stood = true');
  await phone.getByRole('button', { name: 'Open it now' }).tap();
  await phone.waitForFunction(() => !('stood' in globalThis));
  await phone.getByText('This page opens without a line.').waitFor();
  await notice.waitFor({ state: 'detached' });
  const after = await workers(phone);
  expect(after.waits).toBe(false);
  expect(after.shells).toContain(`${before!}-newer`);
  expect(errors).toEqual([]);
  await page.context().close();
});
