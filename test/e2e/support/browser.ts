import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';

export const sizes = {
  phone: { width: 390, height: 844 },
  desk: { width: 1440, height: 900 },
} as const;
export type SizeName = keyof typeof sizes;

/** Any Chromium: the one that `npm test` found, or the distribution's. @param args besides the usual ones */
export async function openBrowser(args: readonly string[] = []): Promise<Browser> {
  const program = process.env['CHROMIUM'] ?? '/usr/bin/chromium';
  if (!existsSync(program)) throw new Error(`There is no Chromium at ${program}; set CHROMIUM.`);
  return chromium.launch({
    executablePath: program,
    // Root, in a container: the sandbox needs a user namespace that is not there.
    args: [...(process.getuid?.() === 0 ? ['--no-sandbox'] : []), ...args],
  });
}

export interface Watched {
  readonly page: Page;
  /** errors of the page's own script; none is wanted */
  readonly errors: string[];
}

/** @param locale the browser's language; its own when left out */
export async function openPage(
  browser: Browser,
  size: SizeName,
  locale?: string,
): Promise<Watched> {
  const context = await browser.newContext({
    viewport: sizes[size],
    acceptDownloads: true,
    reducedMotion: 'reduce',
    ...(locale === undefined ? {} : { locale }),
    ...(size === 'phone' ? { hasTouch: true, isMobile: true } : {}),
  });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  return { page, errors };
}

const folder = process.env['MULLION_SCREENSHOTS'];

/** Keeps a picture of the screen when MULLION_SCREENSHOTS names a folder. */
export async function look(page: Page, name: string): Promise<void> {
  if (folder === undefined) return;
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`) });
}
