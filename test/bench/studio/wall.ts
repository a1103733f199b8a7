/**
 * The wall before a window of 150 panels and 9,000 pieces: what is sent for it, and how much work a
 * frame is while it is dragged and zoomed on a processor four times slower.
 */
import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright-core';
import { type PanelPlace, panelGrid, unpackOutlines } from '#libs/elevation';
import { lozengeSketch } from '#libs/net';
import { SALLOWMERE_WINDOWS } from '../../../apps/worker/src/demo/sallowmere-windows.js';
import { openBrowser, openPage } from '../../e2e/support/browser.js';
import { firstKeeper, type Keeper } from '../../e2e/support/keeper.js';
import { startMullion } from '../../e2e/support/running-mullion.js';
import { framesOf } from '../page-frames.js';
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
    const { page } = await openPage(browser, 'desk');
    await keeper.enter(page.context());
    await page.goto(`${mullion.origin}/at/${MARK}`);
    await page.getByRole('row', { name: /^panels/ }).waitFor({ timeout: 60_000 });
    await page.waitForTimeout(3000);
    const renderer = await page.evaluate<string>(`(() => {
      const gl = document.createElement('canvas').getContext('webgl');
      const told = gl?.getExtension('WEBGL_debug_renderer_info');
      return gl ? String(gl.getParameter(told ? told.UNMASKED_RENDERER_WEBGL : gl.RENDERER)) : 'no WebGL';
    })()`);
    const answers = await windowAnswers(keeper, windowId);
    const session = await page.context().newCDPSession(page);
    await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
    const dragged = await framesOf(session, () => drag(page));
    const zoomed = await framesOf(session, () => zoom(page));
    const frames = [...dragged, ...zoomed].map(({ clockMs }) => clockMs);
    console.log(
      `outline: ${pieces} pieces, ${cold.value.length} bytes (${gzipSync(cold.value).length} gzipped), ` +
        `first ${cold.tookMs.toFixed(0)} ms, again ${warm.tookMs.toFixed(0)} ms`,
    );
    for (const [what, of] of [
      ['dragged', dragged],
      ['zoomed', zoomed],
    ] as const)
      console.log(
        `${what}: ${of.length} frames, p50 ${quantile(
          of.map(({ clockMs }) => clockMs),
          0.5,
        ).toFixed(1)} ms, ` +
          `p95 ${quantile(
            of.map(({ clockMs }) => clockMs),
            0.95,
          ).toFixed(1)} ms on the clock, ` +
          `p95 ${quantile(
            of.map(({ processorMs }) => processorMs),
            0.95,
          ).toFixed(1)} ms of the processor; ${renderer}`,
      );
    const scripts = await scriptsOf(browser, keeper, mullion.origin);
    console.log(
      `scripts: ${scripts.firstKb.toFixed(1)} kB before the wall stands, ${scripts.allKb.toFixed(1)} kB with the glass; ` +
        `first useful paint cold ${scripts.paintMs.toFixed(0)} ms`,
    );
    return [
      { what: 'scripts before the wall stands, gzipped, kB', measured: scripts.firstKb, most: 200 },
      {
        what: 'first useful paint, cold, slow line and processor, s',
        measured: scripts.paintMs / 1000,
        most: 2,
      },
      ...answers,
      { what: 'packed outline of 9,000 pieces, kB', measured: cold.value.length / 1000, most: 300 },
      { what: 'pieces in it', measured: pieces, least: 9000 },
      {
        what: 'p95 of a frame of the wall, 4 × slower, ms',
        measured: quantile(frames, 0.95),
        most: 8,
      },
    ];
  } finally {
    await browser.close();
    await mullion.stop();
  }
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
 * What comes as script for a cold wall, by its size on the line, and when the drawing is there to be
 * read: the key with its counts stands beside it.
 */
async function scriptsOf(browser: Browser, keeper: Keeper, origin: string) {
  const { page } = await openPage(browser, 'desk');
  await keeper.enter(page.context());
  const session = await page.context().newCDPSession(page);
  await session.send('Network.enable');
  await session.send('Network.emulateNetworkConditions', SLOW_LINE);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
  const bodies: { url: string; gzipBytes: number }[] = [];
  page.on('response', (response) => {
    if (!response.url().endsWith('.js')) return;
    void response.body().then(
      (body) => bodies.push({ url: response.url(), gzipBytes: gzipSync(body).length }),
      () => undefined, // a page that was left
    );
  });
  await page.addInitScript(`
    new MutationObserver((_, watch) => {
      if (!document.querySelector('.legend') || !document.querySelector('.sheet-map canvas')) return;
      watch.disconnect();
      requestAnimationFrame(() => requestAnimationFrame(() => { window.wallStoodMs = performance.now(); }));
    }).observe(document, { childList: true, subtree: true });
  `);
  await page.goto(`${origin}/at/${MARK}`);
  await page.waitForFunction(() => 'wallStoodMs' in globalThis, undefined, { timeout: 60_000 });
  const paintMs = await page.evaluate<number>('window.wallStoodMs');
  await page.waitForTimeout(3000);
  const isGlass = ({ url }: { url: string }) =>
    url.includes('glass-layers') || url.includes('service-worker');
  const sum = (of: typeof bodies) =>
    of.reduce((total, { gzipBytes }) => total + gzipBytes, 0) / 1000;
  const allKb = sum(bodies);
  const firstKb = sum(bodies.filter((one) => !isGlass(one)));
  await page.context().close();
  return { firstKb, allKb, paintMs };
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

async function drag(page: Page): Promise<void> {
  await page.mouse.move(620, 450);
  await page.mouse.down();
  for (let i = 0; i < 90; i++) {
    const angle = (i / 90) * 4 * Math.PI;
    await page.mouse.move(620 + 160 * Math.sin(angle), 450 + 120 * Math.sin(angle / 2));
  }
  await page.mouse.up();
}

async function zoom(page: Page): Promise<void> {
  for (let i = 0; i < 45; i++) {
    await page.mouse.wheel(0, i < 15 ? -60 : i < 30 ? 60 : -40);
    await page.waitForTimeout(16);
  }
}

async function timed<T>(act: () => Promise<T>): Promise<{ value: T; tookMs: number }> {
  const began = performance.now();
  const value = await act();
  return { value, tookMs: performance.now() - began };
}
