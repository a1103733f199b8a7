/**
 * Twenty findings drawn on the bench with pen and keys, as fast as the screen takes them: how long it takes,
 * and how many of them the archive holds as they were drawn.
 */
import type { CDPSession, Page } from 'playwright-core';
import { openBrowser, openPage } from '../../e2e/support/browser.js';
import { drawnPanel } from '../../e2e/support/drawn-panel.js';
import { type At, type Mm, onBench, penStroke } from '../../e2e/support/hand-on-bench.js';
import { quarries } from '../../e2e/support/quarries.js';
import { startMullion } from '../../e2e/support/running-mullion.js';
import type { BarRow } from './bar-row.js';

const BOX = { minX: -5, minY: -5, maxX: 305, maxY: 425 };
/** The room that the bench keeps for the drawing hand's dock. */
const FOOT_PX = 190;
/** As far as a px of the screen is, and the hand's own simplification. */
const OFF_MM = 1;

interface Wanted {
  readonly term: string;
  readonly kind: 'line' | 'area' | 'point';
  readonly path: readonly Mm[];
}

interface Kept {
  readonly term: string;
  readonly geometry: { readonly kind: string; readonly xyMm: readonly Mm[] };
}

/** Middles of the nine whole lozenges. */
const middles = [0, 1, 2].flatMap((row) =>
  [0, 1, 2].map((column): Mm => [50 + 100 * column, 70 + 140 * row]),
);

export async function findingsBars(): Promise<readonly BarRow[]> {
  const mullion = await startMullion();
  const browser = await openBrowser();
  try {
    const panel = await drawnPanel(mullion, quarries);
    const { page, errors } = await openPage(browser, 'desk');
    await panel.enter(page.context());
    await page.goto(`${mullion.origin}/at/${panel.mark}?photo=none`);
    await page.getByRole('application', { name: /Lead drawing of/ }).waitFor();
    const session = await page.context().newCDPSession(page);
    const at = await onBench(page, BOX, FOOT_PX);
    const began = performance.now();
    const wanted = await drawTwenty(page, session, at);
    const drawnMs = performance.now() - began;
    const kept = await untilKept(
      wanted.length,
      async () => (await panel.ask<{ items: Kept[] }>('/findings?limit=100')).items,
    );
    const keptMs = performance.now() - began;
    const missed = wanted.filter((one) => !kept.some((finding) => isDrawn(finding, one)));
    for (const { term, kind, path } of missed)
      console.log(`findings   missed: ${term}, ${kind}, ${JSON.stringify(path)}`);
    for (const error of errors) console.log(`findings   error of the page: ${error}`);
    console.log(
      `findings   ${wanted.length} drawn in ${(drawnMs / 1000).toFixed(1)} s, ` +
        `all in the archive after ${(keptMs / 1000).toFixed(1)} s`,
    );
    return [
      { what: 'findings drawn with pen and keys, s', measured: keptMs / 1000, most: 180 },
      { what: 'findings that the archive holds', measured: kept.length, least: 20, most: 20 },
      { what: 'of 20 missed or not where they were drawn', measured: missed.length, most: 0 },
      { what: 'errors of the page', measured: errors.length, most: 0 },
    ];
  } finally {
    await browser.close();
    await mullion.stop();
  }
}

/** Ten cracks, six areas and four places; each term by its two letters, each next one by drawing it. */
async function drawTwenty(page: Page, session: CDPSession, at: At): Promise<readonly Wanted[]> {
  const wanted: Wanted[] = [];
  const term = async (letters: string, words: string) => {
    for (const letter of letters) await page.keyboard.press(letter);
    await page.getByRole('group', { name: `Drawing: ${words}` }).waitFor();
  };
  const stroke = async (key: string, kind: Wanted['kind'], path: readonly Mm[]) => {
    wanted.push({ term: key, kind, path });
    await penStroke(session, at, path);
  };
  await term('gc', 'crack');
  // Clear of every edge, so that nothing is pulled to one.
  for (const [x, y] of middles)
    await stroke('glass.crack.simple', 'line', [
      [x - 12, y - 14],
      [x + 4, y - 2],
      [x + 12, y + 14],
    ]);
  await stroke('glass.crack.simple', 'line', [
    [142, 150],
    [158, 172],
  ]);
  await term('pl', 'paint loss');
  for (const [x, y] of middles.slice(0, 6)) {
    const [cx, cy] = [x - 8, y + 16];
    await stroke('paint.loss', 'area', [
      [cx, cy],
      [cx + 14, cy],
      [cx + 14, cy + 10],
      [cx, cy + 10],
      [cx, cy],
    ]);
    await page.keyboard.press('Enter');
  }
  await term('ls', 'joint cracked');
  for (const joint of [
    [100, 70],
    [200, 70],
    [100, 210],
    [200, 210],
  ] as const) {
    wanted.push({ term: 'solder.crack', kind: 'point', path: [joint] });
    await penTap(session, at(joint[0] + 0.5, joint[1] + 0.5));
  }
  await page.keyboard.press('Enter');
  return wanted;
}

async function penTap(session: CDPSession, [x, y]: readonly [number, number]): Promise<void> {
  const said = { x, y, pointerType: 'pen', button: 'left', clickCount: 1 } as const;
  await session.send('Input.dispatchMouseEvent', { ...said, type: 'mousePressed', buttons: 1 });
  await session.send('Input.dispatchMouseEvent', { ...said, type: 'mouseReleased', buttons: 0 });
}

async function untilKept(count: number, ask: () => Promise<Kept[]>): Promise<Kept[]> {
  const deadline = Date.now() + 120_000;
  for (;;) {
    const kept = await ask();
    if (kept.length >= count || Date.now() > deadline) return kept;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

/** The corners that were drawn are those of what was kept: each lies on it. */
function isDrawn({ term, geometry: { kind, xyMm } }: Kept, wanted: Wanted): boolean {
  if (term !== wanted.term || kind !== wanted.kind) return false;
  const edges = xyMm.map((point, i) => [point, xyMm[(i + 1) % xyMm.length]!] as const);
  const sides = kind === 'line' ? edges.slice(0, -1) : edges;
  return wanted.path.every((corner) => sides.some((side) => offMm(corner, side) < OFF_MM));
}

function offMm([x, y]: Mm, [[ax, ay], [bx, by]]: readonly [Mm, Mm]): number {
  const length2 = (bx - ax) ** 2 + (by - ay) ** 2;
  const along = length2 === 0 ? 0 : ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length2;
  const t = Math.min(1, Math.max(0, along));
  return Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay));
}
