/**
 * `npm run gallery [-- FOLDER] [--only NAME,…] [--views NAME,…] [--at ORIGIN]`: every room of the demo as a
 * picture, in both sizes, on all grounds and in both languages, with a page that shows them side by side.
 * For looking; what must hold is in the tests. `--at` takes them of a demo that runs already.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { signedIn } from '../../apps/worker/src/demo/demo-client.js';
import { openBrowser, openPage, type SizeName } from './support/browser.js';
import { galleryDemo } from './support/gallery-demo.js';
import { demoRooms, type RoomAddress } from './support/rooms.js';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    only: { type: 'string' },
    views: { type: 'string' },
    at: { type: 'string' },
  },
});
const folder = positionals[0] ?? 'gallery';
mkdirSync(folder, { recursive: true });

interface View {
  readonly name: string;
  readonly size: SizeName;
  readonly ground: 'dark' | 'light' | 'light-table';
  readonly language: 'en' | 'de';
}
const sizes = ['desk', 'phone'] as const;
const allViews: readonly View[] = [
  ...(['dark', 'light', 'light-table'] as const).flatMap((ground) =>
    sizes.map((size) => ({ name: `${size}-${ground}`, size, ground, language: 'en' as const })),
  ),
  ...sizes.map((size) => ({ name: `${size}-de`, size, ground: 'dark', language: 'de' }) as const),
];
const chosen = <T extends { readonly name: string }>(all: readonly T[], names?: string) => {
  const wanted = names?.split(',');
  const unknown = wanted?.filter((name) => !all.some((one) => one.name === name)) ?? [];
  if (unknown.length > 0)
    throw new Error(`Unknown: ${unknown.join()}. There are ${all.map((one) => one.name).join()}.`);
  return wanted ? all.filter(({ name }) => wanted.includes(name)) : all;
};
const views = chosen(allViews, values.views);
const rooms = chosen(demoRooms, values.only);

/** A browser of its own for a view: its language, its ground, the studio's head signed in. */
async function enter(browser: Browser, origin: string, view: View): Promise<Page> {
  const { page } = await openPage(browser, view.size, view.language === 'de' ? 'de-DE' : 'en-GB');
  await keepGround(page.context(), view);
  const answer = await page.request.post(`${origin}/v1/session`, {
    data: { demoRole: 'Studio head' },
  });
  if (!answer.ok()) throw new Error(`nobody could sign in: ${await answer.text()}`);
  page.setDefaultTimeout(20_000);
  return page;
}

const keepGround = (context: BrowserContext, { ground, language }: View) =>
  context.addInitScript(
    `localStorage.setItem('mullion manner', ${JSON.stringify(JSON.stringify({ ground, language }))})`,
  );

async function picture(page: Page, origin: string, room: RoomAddress, view: View, file: string) {
  await page.goto(origin + room.path);
  await page.getByText(room.stands[view.language]).first().waitFor({ state: 'attached' });
  await page.locator('main [aria-busy=true]').first().waitFor({ state: 'detached' });
  // tiles of pictures and the drawing's glass come after the words
  await page.waitForLoadState('networkidle');
  await page.screenshot({ path: join(folder, file) });
}

const demo =
  values.at === undefined
    ? await galleryDemo()
    : { origin: values.at, stop: () => Promise.resolve() };
const missing: string[] = [];
const rows: string[] = [];
let count = 0;
try {
  const { origin } = demo;
  const head = await signedIn(origin, 'Studio head');
  const at = await head.get<{ panelId: string }>('/v1/marks/SLM.sII.2a');
  const { media } = await head.get<{ media: { mediaId: string; kind: string }[] }>(
    `/v1/panels/${at.panelId}`,
  );
  const photograph = media.find(({ kind }) => kind === 'photograph')!.mediaId;
  const browser = await openBrowser();
  try {
    for (const view of views) {
      const page = await enter(browser, origin, view);
      const shots: string[] = [];
      for (const room of rooms) {
        const path = room.path.replace('{photograph}', photograph);
        const file = `${room.name.replaceAll(' ', '-')}-${view.name}.png`;
        try {
          await picture(page, origin, { ...room, path }, view, file);
          count++;
        } catch (error) {
          missing.push(`${room.name} (${view.name}): ${String(error).split('\n')[0]}`);
        }
        shots.push(
          `<figure><a href="${file}"><img src="${file}" alt=""></a><figcaption>${room.name} ${path}</figcaption></figure>`,
        );
      }
      rows.push(`<h2>${view.name}</h2><div>${shots.join('')}</div>`);
      await page.context().close();
    }
  } finally {
    await browser.close();
  }
} finally {
  await demo.stop();
}
writeFileSync(
  join(folder, 'index.html'),
  `<!doctype html><meta charset="utf-8"><title>Mullion, every room</title>
<style>body{background:#101314;color:#ece9e2;font:14px system-ui}div{display:flex;flex-wrap:wrap;gap:16px}
img{height:260px}figure{margin:0}figcaption{max-width:420px}</style>
${rows.join('\n')}`,
);
console.log(`${count} pictures: ${join(folder, 'index.html')}`);
if (missing.length > 0) {
  console.error(`Without a picture:\n${missing.join('\n')}`);
  process.exitCode = 1;
}
