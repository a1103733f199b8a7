/**
 * How much work a frame is while a joint, and then a lead, of a 300-piece drawing is dragged: everything
 * the page's main thread does between one frame and the next (script, style, layout, paint), as
 * processor time from the browser's own trace, beside what 60 frames a second leave for it. Time on the
 * clock is printed too; on a busy machine it says more of the machine.
 */
import type { Page } from 'playwright-core';
import { lozengeSketch } from '#libs/net';
import { openBrowser, openPage } from '../e2e/support/browser.js';
import { drawnPanel, onBoard } from '../e2e/support/drawn-panel.js';
import { startMullion } from '../e2e/support/running-mullion.js';
import { framesOf } from './page-frames.js';
import { quantile } from './quantile.js';

const FRAME_MS = 1000 / 60;
const STEPS = 150;

const mullion = await startMullion();
const browser = await openBrowser();
try {
  const panel = await drawnPanel(
    mullion,
    lozengeSketch({
      columns: 12,
      rows: 12,
      widthMm: 50,
      heightMm: 70,
      faceWidthMm: 5,
      outerFaceMm: 10,
    }),
  );
  const { page } = await openPage(browser, 'desk');
  await panel.enter(page.context());
  await page.goto(`${mullion.origin}/at/${panel.mark}/draw`);
  await page.getByText(/313 pieces, every lead joined/).waitFor({ timeout: 60_000 });
  const at = await onBoard(page, /Drawing of/, { minX: -5, minY: -5, maxX: 605, maxY: 845 });
  await report('a joint', page, at(300, 385), 40);
  await page.keyboard.press('z');
  await report('a lead', page, at(312.5, 402.5), 30);
} finally {
  await browser.close();
  await mullion.stop();
}

async function report(
  what: string,
  page: Page,
  [x, y]: readonly [number, number],
  reachPx: number,
): Promise<void> {
  const session = await page.context().newCDPSession(page);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 3, y + 3);
  const frames = await framesOf(session, async () => {
    for (let i = 0; i < STEPS; i++) {
      const angle = (i / STEPS) * 6 * Math.PI;
      await page.mouse.move(x + reachPx * Math.cos(angle), y + (reachPx / 2) * Math.sin(angle));
    }
  });
  await page.mouse.up();
  console.log(`dragging ${what} of 313 pieces, ${frames.length} frames:`);
  for (const [name, timesMs] of [
    ['processor', frames.map(({ processorMs }) => processorMs)],
    ['clock', frames.map(({ clockMs }) => clockMs)],
  ] as const) {
    const p = (share: number) => {
      const ms = quantile(timesMs, share);
      return `${ms.toFixed(1)} ms (${(ms / FRAME_MS).toFixed(2)} of a frame)`;
    };
    console.log(`  ${name}: median ${p(0.5)}, p95 ${p(0.95)}, worst ${p(1)}`);
  }
}
