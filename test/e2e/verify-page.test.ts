/**
 * The check of a dossier in a browser, with no server: verify.html as it is written today reads the
 * kept sample of format version 1, as a zip file and unpacked.
 */

import { createHash } from 'node:crypto';
import {
  appendFileSync,
  createWriteStream,
  mkdirSync,
  mkdtempSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import * as yauzl from 'yauzl';
import { verifyPage } from '../../libs/dossier/src/verify-page/page.js';
import { verifyScript } from '../../libs/dossier/src/verify-page/script.js';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type Watched } from './support/browser.js';

const SAMPLE = new URL('../../fixtures/dossier/version-1.zip', import.meta.url).pathname;
// Of the published test key that sealed the sample (fixtures/README.md).
const FINGERPRINT = 'SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9R';

jest.setTimeout(120_000);

describe('verify.html', () => {
  const home = mkdtempSync(join(tmpdir(), 'mullion-verify-'));
  const folder = join(home, 'slm.w1.2b-handed-out');
  let browser: Browser;
  let watched: Watched;
  let page: Page;

  beforeAll(async () => {
    const script = await verifyScript();
    const digest = createHash('sha256').update(script).digest('base64');
    writeFileSync(join(home, 'verify.html'), verifyPage(script, digest));
    await unpack();
    browser = await openBrowser();
    watched = await openPage(browser, 'phone');
    page = watched.page;
    page.setDefaultTimeout(20_000);
  });

  afterAll(async () => {
    await browser.close();
    rmSync(home, { recursive: true });
  });

  beforeEach(async () => {
    await page.goto(`file://${join(home, 'verify.html')}`);
  });

  it('calls a zip file consistent, and verified once the fingerprint is typed', async () => {
    await page.setInputFiles('#zip', SAMPLE);
    await verdict('consistent-key-unknown');
    await typeFingerprint(FINGERPRINT.toLowerCase().replaceAll('-', ' '));
    await verdict('verified-against-fingerprint');
    expect(await page.textContent('#verdict')).toContain(FINGERPRINT);
    await look(page, 'verify-page');
    expect(await barriers(page)).toEqual([]);
  });

  it('calls it altered when the fingerprint is of another key', async () => {
    await page.setInputFiles('#zip', SAMPLE);
    await typeFingerprint('YJHG-3NK2-SPJ8-HC0N-6YCN-QJ76-A8PY');
    await verdict('altered');
    expect(await page.textContent('#findings')).toContain('does not match the fingerprint');
  });

  it('says that a fingerprint is mistyped, and gives no verdict', async () => {
    await page.setInputFiles('#zip', SAMPLE);
    await typeFingerprint('SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9X');
    // the page's own policy forbids eval, which waiting for a function needs
    await page.locator('#fingerprint-problem', { hasText: /./ }).waitFor();
    expect(await page.textContent('#fingerprint-problem')).toContain('mistyped');
    expect(await page.isVisible('#verdict')).toBe(false);
  });

  it('reads the unpacked folder, and names the file that was changed in it', async () => {
    await page.setInputFiles('#folder', folder);
    await verdict('consistent-key-unknown');
    appendFileSync(join(folder, 'data/lists/findings.json'), ' ');
    await page.setInputFiles('#folder', folder);
    await verdict('altered');
    expect(await page.textContent('#findings')).toContain('data/lists/findings.json was changed');
  });

  it('runs without an error of its own', () => {
    expect(watched.errors).toEqual([]);
  });

  async function verdict(expected: string): Promise<void> {
    await page.waitForSelector(`#verdict[data-verdict="${expected}"]:not([hidden])`);
  }

  async function typeFingerprint(text: string): Promise<void> {
    await page.fill('#fingerprint', text);
    await page.press('#fingerprint', 'Tab');
  }

  async function unpack(): Promise<void> {
    const zip = await yauzl.openPromise(SAMPLE);
    for await (const entry of zip.eachEntry()) {
      const path = join(home, entry.fileName);
      mkdirSync(dirname(path), { recursive: true });
      await pipeline(await zip.openReadStreamPromise(entry), createWriteStream(path));
    }
  }
});
