/**
 * `npm run gallery [-- FOLDER]`: every room in both sizes and languages as a picture, with a page that
 * shows them side by side. For looking; what must hold is in the tests.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openPage, type SizeName } from './support/browser.js';
import { openChapel } from './support/chapel.js';
import { rooms } from './support/rooms.js';

const folder = process.argv[2] ?? 'gallery';
mkdirSync(folder, { recursive: true });
const chapel = await openChapel();
const { origin, browser, keeper } = chapel;
const rows: string[] = [];
try {
  for (const language of ['en', 'de'] as const)
    for (const size of ['desk', 'phone'] satisfies readonly SizeName[]) {
      const { page } = await openPage(browser, size, language === 'de' ? 'de-DE' : 'en-GB');
      await keeper.enter(page.context());
      const shots: string[] = [];
      for (const { name, path, stands } of rooms) {
        const file = `${name}-${size}-${language}.png`;
        await page.goto(origin + path);
        await page.getByText(stands[language]).first().waitFor({ state: 'attached' });
        await page.locator('main [aria-busy=true]').first().waitFor({ state: 'detached' });
        await page.screenshot({ path: join(folder, file) });
        shots.push(
          `<figure><a href="${file}"><img src="${file}" alt=""></a><figcaption>${name} ${path}</figcaption></figure>`,
        );
      }
      rows.push(`<h2>${size}, ${language}</h2><div>${shots.join('')}</div>`);
      await page.context().close();
    }
} finally {
  await chapel.close();
}
writeFileSync(
  join(folder, 'index.html'),
  `<!doctype html><meta charset="utf-8"><title>Mullion, every room</title>
<style>body{background:#101314;color:#ece9e2;font:14px system-ui}div{display:flex;flex-wrap:wrap;gap:16px}
img{height:260px}figure{margin:0}figcaption{max-width:420px}</style>
${rows.join('\n')}`,
);
console.log(`${rows.length * rooms.length} pictures: ${join(folder, 'index.html')}`);
