/**
 * The wall before a window of 150 panels and 9,000 pieces: what is sent for it, when it can be read and
 * worked with, how long an act waits for its picture, and how much work a frame is while it is dragged and
 * zoomed on a processor four times slower.
 */
import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import type { Browser, Page, Response } from 'playwright-core';
import { type PanelPlace, panelGrid, unpackOutlines } from '#libs/elevation';
import { lozengeSketch } from '#libs/net';
import { SALLOWMERE_WINDOWS } from '../../../apps/worker/src/demo/sallowmere-windows.js';
import { openBrowser, openPage } from '../../e2e/support/browser.js';
import { firstKeeper, type Keeper } from '../../e2e/support/keeper.js';
import { startMullion } from '../../e2e/support/running-mullion.js';
import { interactionsOf } from '../page-acts.js';
import { countDraws, drawsOf, type FrameDraws } from '../page-draws.js';
import { framesOf, type PageFrame } from '../page-frames.js';
import { quantile } from '../quantile.js';
import type { BarRow } from './bar-row.js';

/** Sixty pieces: 3 × 8 lozenges, halves at the edges (2·3·8 + 3 + 8 + 1). */
const LOZENGES = { columns: 3, rows: 8 };
const SLOWER = 4;
const MARK = 'SLM.wI';

export async function wallBars(): Promise<readonly BarRow[]> {
  const mullion = await startMullion();
  const browser = await openBrowser();
  try {
    const keeper = await firstKeeper(mullion);
    const windowId = await drawWindow(keeper);
    const path = `/v1/windows/${windowId}/outline`;
    const cold = await timed(() => keeper.bytes(path));
    const warm = await timed(() => keeper.bytes(path));
    const pieces = unpackOutlines(cold.value).filter(({ name }) => name.includes('.')).length;
    const answers = await windowAnswers(keeper, windowId);
    console.log(
      `outline: ${pieces} pieces, ${cold.value.length} bytes (${gzipSync(cold.value).length} gzipped), ` +
        `first ${cold.tookMs.toFixed(0)} ms, again ${warm.tookMs.toFixed(0)} ms`,
    );
    const first = await firstLook(browser, keeper, mullion.origin);
    const moved = await movedWall(browser, keeper, mullion.origin);
    const acts = await actsOnWall(browser, keeper, mullion.origin, 1);
    await actsOnWall(browser, keeper, mullion.origin, SLOWER);
    console.log(`load of the machine: ${readFileSync('/proc/loadavg', 'utf8').trim()}`);
    return [
      { what: 'scripts before the wall stands, gzipped, kB', measured: first.firstKb, most: 200 },
      {
        what: 'first useful paint, cold, slow line and processor, s',
        measured: first.paintMs / 1000,
        most: 2,
      },
      ...answers,
      { what: 'packed outline of 9,000 pieces, kB', measured: cold.value.length / 1000, most: 300 },
      { what: 'pieces in it', measured: pieces, least: 9000 },
      {
        what: 'p95 of script, layout and paint of a frame, 4 × slower, ms',
        measured: quantile(moved.frames, 0.95),
        most: 8,
      },
      { what: 'WebGL draw calls of a frame', measured: moved.most.webGl, most: 4 },
      { what: 'canvas draw calls of a frame, shapes', measured: moved.most.shapes, most: 24 },
      { what: 'canvas draw calls of a frame, words', measured: moved.most.words, most: 400 },
      { what: 'interaction to next paint, p75, ms', measured: quantile(acts, 0.75), most: 200 },
    ];
  } finally {
    await browser.close();
    await mullion.stop();
  }
}

/** The wall standing: its map has drawn all, the first look has gone. */
const STANDS = `(() => {
  const map = document.querySelector('.sheet-map canvas');
  return map !== null && document.querySelector('.first-look') === null && document.querySelector('.legend') !== null;
})()`;

async function standing(page: Page, origin: string): Promise<void> {
  await page.goto(`${origin}/at/${MARK}`);
  await page.locator('.sheet-map canvas').first().waitFor({ state: 'attached', timeout: 60_000 });
  await page.locator('.first-look').waitFor({ state: 'detached', timeout: 60_000 });
  await page.locator('.legend').waitFor();
  await page.waitForTimeout(2000);
}

/** Dragged and zoomed: once for the work of each frame, once for its draw calls. */
async function movedWall(browser: Browser, keeper: Keeper, origin: string) {
  const { page } = await openPage(browser, 'desk');
  await keeper.enter(page.context());
  await standing(page, origin);
  const renderer = await page.evaluate<string>(`(() => {
    const gl = document.createElement('canvas').getContext('webgl');
    const told = gl?.getExtension('WEBGL_debug_renderer_info');
    return gl ? String(gl.getParameter(told ? told.UNMASKED_RENDERER_WEBGL : gl.RENDERER)) : 'no WebGL';
  })()`);
  const session = await page.context().newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
  const dragged = await framesOf(session, () => drag(page));
  const zoomed = await framesOf(session, () => zoom(page));
  await page.context().close();
  for (const [what, of] of [
    ['dragged', dragged],
    ['zoomed', zoomed],
  ] as const) {
    const told = (kind: keyof PageFrame) =>
      [0.5, 0.95].map((share) =>
        quantile(
          of.map((frame) => frame[kind]),
          share,
        ).toFixed(1),
      );
    console.log(
      `${what}: ${of.length} frames; p50 and p95 of a frame, ms: script, layout and paint ${told('workMs').join(', ')}; ` +
        `all of the processor ${told('processorMs').join(', ')}; on the clock ${told('clockMs').join(', ')}; ${renderer}`,
    );
  }
  const counted = await openPage(browser, 'desk');
  await keeper.enter(counted.page.context());
  await countDraws(counted.page);
  await standing(counted.page, origin);
  const draws = [
    ...(await drawsOf(counted.page, () => drag(counted.page))),
    ...(await drawsOf(counted.page, () => zoom(counted.page))),
  ];
  await counted.page.context().close();
  const most = (kind: keyof FrameDraws) => Math.max(...draws.map((frame) => frame[kind]));
  return {
    frames: [...dragged, ...zoomed].map(({ workMs }) => workMs),
    most: { webGl: most('webGl'), shapes: most('shapes'), words: most('words') },
  };
}

/** Choosing panels by hand and by keys, other things shown, a mark typed, time dragged: waits, ms. */
async function actsOnWall(
  browser: Browser,
  keeper: Keeper,
  origin: string,
  slower: number,
): Promise<readonly number[]> {
  const { page } = await openPage(browser, 'desk');
  await keeper.enter(page.context());
  await standing(page, origin);
  const session = await page.context().newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: slower });
  const pause = () => page.waitForTimeout(250);
  const sheet = (await page.locator('.sheet-map').boundingBox())!;
  const strip = (await page.locator('.strip-track').boundingBox())!;
  const acts: readonly (readonly [string, () => Promise<void>])[] = [
    [
      'a panel clicked',
      async () => {
        for (let i = 0; i < 10; i++) {
          await page.mouse.click(
            sheet.x + sheet.width * (i % 2 === 0 ? 0.4 : 0.46),
            sheet.y + sheet.height * (0.35 + i * 0.05),
          );
          // two clicks that follow at once would open the panel
          await page.waitForTimeout(700);
        }
      },
    ],
    [
      'a panel stepped to',
      async () => {
        await page.locator('.sheet-map').focus();
        for (const key of ['ArrowUp', 'ArrowUp', 'ArrowRight', 'ArrowDown', 'ArrowLeft']) {
          await page.keyboard.press(key);
          await pause();
        }
      },
    ],
    [
      'another thing shown',
      async () => {
        await page.getByLabel('What is shown').focus();
        for (let i = 0; i < 6; i++) {
          await page.keyboard.press('ArrowDown');
          await pause();
        }
      },
    ],
    [
      'a letter of a mark typed',
      async () => {
        await page.getByRole('search').getByRole('textbox').click();
        for (const letter of 'SLM.wI.3b') {
          await page.keyboard.press(letter);
          await page.waitForTimeout(120);
        }
        await page.keyboard.press('Escape');
        await pause();
      },
    ],
    [
      'time dragged',
      async () => {
        for (let i = 0; i < 5; i++) {
          await page.mouse.move(strip.x + strip.width * 0.95, strip.y + strip.height / 2);
          await page.mouse.down();
          for (let step = 1; step <= 8; step++)
            await page.mouse.move(
              strip.x + strip.width * (0.95 - step * 0.01 * (i + 1)),
              strip.y + strip.height / 2,
            );
          await page.mouse.up();
          await pause();
        }
      },
    ],
  ];
  const all: number[] = [];
  for (const [what, act] of acts) {
    const waits = (await interactionsOf(page, act)).map(({ waitedMs }) => waitedMs);
    all.push(...waits);
    console.log(
      `${what}${slower > 1 ? `, ${slower} × slower` : ''}: ${waits.length} interactions, ` +
        `p75 ${quantile(waits, 0.75).toFixed(0)} ms, longest ${Math.max(...waits).toFixed(0)} ms`,
    );
  }
  if (slower > 1)
    console.log(
      `all, ${slower} × slower: p75 ${quantile(all, 0.75).toFixed(0)} ms to the next paint`,
    );
  await page.context().close();
  return all;
}

/** p95 of the window's answer over HTTP, as it is and on another day as known then. */
async function windowAnswers(keeper: Keeper, windowId: string): Promise<readonly BarRow[]> {
  const rows: BarRow[] = [];
  for (const [what, query] of [
    ['now', ''],
    ['another day', '?at=2020-01-01'],
    ['another day, as known then', `?at=2020-01-01&known=${new Date().toISOString()}`],
  ] as const) {
    const took: number[] = [];
    for (let i = 0; i < 60; i++) {
      const { tookMs } = await timed(() => keeper.bytes(`/v1/windows/${windowId}${query}`));
      if (i >= 10) took.push(tookMs);
    }
    rows.push({
      what: `answer of 150 panels, ${what}, p95, ms`,
      measured: quantile(took, 0.95),
      most: 50,
    });
  }
  return rows;
}

/** 9 Mbit/s and 170 ms there and back, as a phone out of town has it. */
const SLOW_LINE = {
  offline: false,
  latency: 170,
  downloadThroughput: 9e6 / 8,
  uploadThroughput: 3e6 / 8,
};

/**
 * What comes as script for a cold wall, by its size on the line; when the window can be read, its panels
 * and the edges of its pieces painted where they stay; and when the map has taken over and can be moved.
 */
async function firstLook(browser: Browser, keeper: Keeper, origin: string) {
  const { page } = await openPage(browser, 'desk');
  await keeper.enter(page.context());
  const session = await page.context().newCDPSession(page);
  await session.send('Network.enable');
  await session.send('Network.emulateNetworkConditions', SLOW_LINE);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
  // Read when all is over: this machine's processor is the page's as well.
  const scripts: Response[] = [];
  page.on('response', (response) => {
    if (response.url().endsWith('.js')) scripts.push(response);
  });
  // Two frames on, what was painted in the first is on the screen.
  await page.addInitScript(`(() => {
    const shown = (name) => requestAnimationFrame(() => requestAnimationFrame(() => { window[name] = performance.now(); }));
    let isRead = false;
    new MutationObserver((_, watch) => {
      if (!isRead && Number(document.querySelector('.first-look')?.dataset.pieces ?? 0) > 0) {
        isRead = true;
        shown('wallReadMs');
      }
      if (!${STANDS}) return;
      watch.disconnect();
      shown('wallStoodMs');
    }).observe(document, { childList: true, subtree: true, attributes: true, attributeFilter: ['data-pieces'] });
  })()`);
  await page.goto(`${origin}/at/${MARK}`);
  await page.waitForFunction(() => 'wallStoodMs' in globalThis, undefined, { timeout: 60_000 });
  const paintMs = await page.evaluate<number>('window.wallReadMs');
  const workedMs = await page.evaluate<number>('window.wallStoodMs');
  await page.waitForTimeout(3000);
  const bodies = await Promise.all(
    scripts.map(async (response) => ({
      url: response.url(),
      gzipBytes: gzipSync(await response.body()).length,
    })),
  );
  const isGlass = ({ url }: { url: string }) =>
    url.includes('glass-layers') || url.includes('service-worker');
  const sum = (of: typeof bodies) =>
    of.reduce((total, { gzipBytes }) => total + gzipBytes, 0) / 1000;
  const firstKb = sum(bodies.filter((one) => !isGlass(one)));
  console.log(
    `scripts: ${firstKb.toFixed(1)} kB before the wall stands, ${sum(bodies).toFixed(1)} kB with the glass; ` +
      `cold on the slow line: painted ${paintMs.toFixed(0)} ms, map and glass in its place ${workedMs.toFixed(0)} ms`,
  );
  await page.context().close();
  return { firstKb, paintMs };
}

async function drawWindow(keeper: Keeper): Promise<string> {
  const { siteId } = await keeper.post<{ siteId: string }>('/v1/sites', {
    code: 'SLM',
    name: 'Sallowmere Chapel',
    scheme: 'church',
  });
  const { mark, title, drawing } = SALLOWMERE_WINDOWS.find((known) => known.mark === 'wI')!;
  const { windowId } = await keeper.post<{ windowId: string }>(`/v1/sites/${siteId}/windows`, {
    mark,
    title,
    drawing,
  });
  const { panels } = await keeper.ask<{ panels: { panelId: string; mark: string }[] }>(
    `/v1/windows/${windowId}`,
  );
  const places = new Map(panelGrid(drawing).map((place) => [place.mark, place]));
  const waiting = [...panels];
  const draw = async () => {
    for (let panel = waiting.pop(); panel; panel = waiting.pop())
      await keeper.post(
        `/v1/panels/${panel.panelId}/nets`,
        { sketch: sketchOf(places.get(panel.mark)!), face: 'inside', note: 'lozenges' },
        { 'If-Match': '"0"' },
      );
  };
  await Promise.all([draw(), draw(), draw(), draw()]);
  return windowId;
}

function sketchOf({ boundsMm: { minX, minY, maxX, maxY } }: PanelPlace) {
  const { columns, rows } = LOZENGES;
  return lozengeSketch({
    columns,
    rows,
    widthMm: (maxX - minX - 10) / columns,
    heightMm: (maxY - minY - 10) / rows,
    faceWidthMm: 5,
    outerFaceMm: 10,
  });
}

/**
 * A hand on the mouse, by the browser's own protocol: the library's mouse runs a script of its own in the
 * page with every move.
 */
async function mouse(page: Page) {
  const session = await page.context().newCDPSession(page);
  return async (
    type: 'mousePressed' | 'mouseMoved' | 'mouseReleased' | 'mouseWheel',
    [x, y]: readonly [number, number],
    more: { readonly buttons?: number; readonly deltaY?: number } = {},
  ) => {
    await session.send('Input.dispatchMouseEvent', {
      type,
      x,
      y,
      ...(type === 'mouseWheel' ? { deltaX: 0, deltaY: 0 } : { button: 'left', clickCount: 1 }),
      ...more,
    });
  };
}

async function drag(page: Page): Promise<void> {
  const hand = await mouse(page);
  await hand('mousePressed', [620, 450], { buttons: 1 });
  for (let i = 0; i < 90; i++) {
    const angle = (i / 90) * 4 * Math.PI;
    const at = [620 + 160 * Math.sin(angle), 450 + 120 * Math.sin(angle / 2)] as const;
    await hand('mouseMoved', at, { buttons: 1 });
  }
  await hand('mouseReleased', [620, 450]);
}

async function zoom(page: Page): Promise<void> {
  const hand = await mouse(page);
  for (let i = 0; i < 45; i++) {
    await hand('mouseWheel', [620, 450], { deltaY: i < 15 ? -60 : i < 30 ? 60 : -40 });
    await page.waitForTimeout(16);
  }
}

async function timed<T>(act: () => Promise<T>): Promise<{ value: T; tookMs: number }> {
  const began = performance.now();
  const value = await act();
  return { value, tookMs: performance.now() - began };
}
