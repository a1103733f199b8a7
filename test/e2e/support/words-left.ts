/** Words of the code's English that are still on a screen which speaks another language. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';

const folder = fileURLToPath(new URL('../../../apps/studio/locales/de', import.meta.url));
const pairs = readdirSync(folder).flatMap((file) =>
  Object.entries(JSON.parse(readFileSync(`${folder}/${file}`, 'utf8')) as Record<string, string>),
);
const german = new Set(pairs.map(([, said]) => said.trim()));
/** What stands between the values of a message, long enough to be known again. */
const pieces = (message: string) =>
  message
    .split(/\{[^{}]*(?:\{[^{}]*(?:\{[^{}]*\}[^{}]*)*\}[^{}]*)*\}|<[^>]*>/)
    .map((piece) => piece.trim())
    .filter((piece) => piece.length >= 12);
const whole = new Set(
  pairs
    .filter(([english, said]) => english !== said && !/[{<]/.test(english))
    .map(([english]) => english.trim())
    .filter((english) => english.length > 2 && !german.has(english)),
);
const parts = pairs
  .filter(([english]) => /[{<]/.test(english))
  .flatMap(([english]) => pieces(english))
  .filter((piece) => !pairs.some(([, said]) => said.includes(piece)));

/** Texts, labels, titles and placeholders that a person meets. @param data what the archive itself holds */
export async function wordsLeft(page: Page, data: readonly string[]): Promise<string[]> {
  const met = await page.evaluate<string[]>(`(() => {
    const met = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const { parentElement: at, textContent } = walker.currentNode;
      if (at && !at.closest('code, pre, script, style, [lang="en"]')) met.push(textContent);
    }
    for (const at of document.querySelectorAll('[aria-label], [title], [placeholder]'))
      for (const name of ['aria-label', 'title', 'placeholder']) met.push(at.getAttribute(name) ?? '');
    return met.map((text) => text.trim()).filter((text) => /[a-z]{3}/i.test(text));
  })()`);
  if (met.length === 0) throw new Error('there is no word on this screen');
  return [...new Set(met)].filter(
    (text) =>
      !data.includes(text) && (whole.has(text) || parts.some((piece) => text.includes(piece))),
  );
}

/** Boxes whose words do not fit, and a page that is wider than its screen. */
export const tooWide = (page: Page): Promise<string[]> =>
  page.evaluate<string[]>(`(() => {
    const wide = [...document.querySelectorAll('button, a.act, legend, th, label')]
      .filter((at) => !at.closest('.unseen') && at.clientWidth > 1 && at.scrollWidth > at.clientWidth + 1)
      .map((at) => at.tagName + ': ' + at.textContent.trim().slice(0, 60));
    const { scrollWidth, clientWidth } = document.documentElement;
    return scrollWidth > clientWidth ? ['page: ' + scrollWidth + ' in ' + clientWidth, ...wide] : wide;
  })()`);
