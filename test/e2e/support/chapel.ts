/** The chapel in an archive of its own, and a browser to look at it: what a file of tests or the gallery stands on. */
import type { Browser, Page } from 'playwright-core';
import { openBrowser, openPage, type SizeName } from './browser.js';
import { firstKeeper, type Keeper } from './keeper.js';
import { startMullion } from './running-mullion.js';
import { sallowmereOf } from './sallowmere.js';

export interface Chapel {
  readonly origin: string;
  readonly browser: Browser;
  readonly keeper: Keeper;
  /** errors of the scripts of all pages that were entered; none is wanted */
  readonly errors: string[];
  /** a page on which the keeper is signed in */
  enter(size: SizeName, path: string): Promise<Page>;
  close(): Promise<void>;
}

export async function openChapel(): Promise<Chapel> {
  const [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
  const { origin } = mullion;
  const errors: string[] = [];
  const close = async () => {
    await browser.close();
    await mullion.stop();
  };
  try {
    const keeper = await firstKeeper(mullion);
    await sallowmereOf(keeper);
    return {
      origin,
      browser,
      keeper,
      errors,
      async enter(size, path) {
        const { page } = await openPage(browser, size);
        page.on('pageerror', (error) => errors.push(error.message));
        await keeper.enter(page.context());
        await page.goto(`${origin}${path}`);
        return page;
      },
      close,
    };
  } catch (error) {
    await close();
    throw error;
  }
}

/**
 * The chapel of a file of tests, opened before the first of them and closed after the last; after each,
 * no script of a page has failed. It is there within the tests, not while they are listed.
 */
export function chapelOfTests(): Omit<Chapel, 'close'> {
  let chapel: Chapel;
  beforeAll(async () => {
    chapel = await openChapel();
  });
  afterAll(() => chapel.close());
  afterEach(() => {
    expect(chapel.errors.splice(0)).toEqual([]);
  });
  return {
    get origin() {
      return chapel.origin;
    },
    get browser() {
      return chapel.browser;
    },
    get keeper() {
      return chapel.keeper;
    },
    get errors() {
      return chapel.errors;
    },
    enter: (size, path) => chapel.enter(size, path),
  };
}
