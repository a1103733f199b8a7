/** The bench: pictures as sheets on each other, findings drawn by mouse, pen, finger and keys. */
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type Watched } from './support/browser.js';
import { type DrawnPanel, drawnPanel } from './support/drawn-panel.js';
import {
  type At,
  fingerStrokes,
  mouseStroke,
  onBench,
  penStroke,
} from './support/hand-on-bench.js';
import { layPicture } from './support/laid-pictures.js';
import { quarries } from './support/quarries.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';

jest.setTimeout(300_000);

/** The room that the bench keeps for the drawing hand's dock. */
const FOOT_PX = 190;
const box = { minX: -5, minY: -5, maxX: 305, maxY: 425 };

interface Kept {
  readonly findingId: string;
  readonly term: string;
  readonly inPanel: string | null;
  readonly geometry: { kind: string; xyMm: [number, number][] };
  readonly measure: { lengthMm: number | null; areaMm2: number | null; shareRatio: number | null };
}

let mullion: RunningMullion;
let browser: Browser;
let panel: DrawnPanel;
let transmitted: string;

beforeAll(async () => {
  [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
  panel = await drawnPanel(mullion, quarries);
  const size = [300, 420] as const;
  transmitted = await layPicture(panel, size, { light: 'transmitted', colour: '#c03028' });
  await layPicture(panel, size, { light: 'reflected', colour: '#2858c0' });
  for (const [clockHour, colour] of [
    [3, '#30a040'],
    [9, '#a8a030'],
    [12, '#a040a0'],
  ] as const)
    await layPicture(panel, size, { light: 'raking', clockHour, colour });
});
afterAll(async () => {
  await browser.close();
  await mullion.stop();
});

const bench = () => `${mullion.origin}/at/${panel.mark}`;
const kept = async (state = 'recorded') =>
  (await panel.ask<{ items: Kept[] }>(`/findings?state=${state}`)).items;

/** Waits until the archive holds so many findings, and gives them, the newest first. */
async function untilKept(count: number, state = 'recorded'): Promise<Kept[]> {
  const deadline = Date.now() + 20_000;
  for (;;) {
    const items = await kept(state);
    if (items.length === count) return items;
    if (Date.now() > deadline) throw new Error(`${items.length} are ${state}, not ${count}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

async function enter(size: 'desk' | 'phone'): Promise<Watched> {
  const watched = await openPage(browser, size);
  watched.page.setDefaultTimeout(20_000);
  await panel.enter(watched.page.context());
  return watched;
}

const plane = (page: Page) => page.getByRole('application', { name: /Lead drawing of/ });
const said = (page: Page, words: RegExp) =>
  page.locator('.find-said output').filter({ hasText: words }).waitFor();

/** Red, green and blue of the screen at a place. */
async function colourAt(page: Page, [x, y]: readonly [number, number]): Promise<number[]> {
  const png = await page.screenshot({ clip: { x: x - 2, y: y - 2, width: 4, height: 4 } });
  const { channels } = await sharp(png).stats();
  return channels.slice(0, 3).map(({ mean }) => mean);
}

describe('pictures as sheets', () => {
  let watched: Watched;
  let page: Page;
  let at: At;
  beforeAll(async () => {
    watched = await enter('desk');
    page = watched.page;
  });
  afterAll(() => page.context().close());
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });
  /** Which picture is seen in the middle of a lozenge: its strongest colour. */
  const seen = async (x: number, y: number) => {
    const [r, g, b] = await colourAt(page, at(x, y));
    return r! > g! + 40 && r! > b! + 40
      ? 'red'
      : b! > r! + 20
        ? 'blue'
        : g! > r!
          ? 'green'
          : 'other';
  };
  const until = async (x: number, y: number, colour: string) => {
    const deadline = Date.now() + 15_000;
    while ((await seen(x, y)) !== colour) {
      if (Date.now() > deadline) throw new Error(`${await seen(x, y)} is seen, not ${colour}`);
      await page.waitForTimeout(100);
    }
  };
  // In the left and the right half of the panel, clear of leads and numbers.
  const left = [50, 40] as const;
  const right = [250, 40] as const;

  it('lie over each other and are parted by a line that can be moved', async () => {
    await page.goto(`${bench()}?under=100&photo=${transmitted}`);
    await page.getByRole('button', { name: /^lay over ?: reflected light, before$/ }).click();
    at = await onBench(page, box);
    await until(...left, 'red');
    await until(...right, 'blue');
    await look(page, 'bench-swipe-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByLabel(/Dividing line/).fill('100');
    await until(...right, 'red');
  });

  it('blink as long as a key holds the other one in its place', async () => {
    await page.getByRole('radio', { name: 'blink' }).click();
    await until(...left, 'red');
    await page.keyboard.down('b');
    await until(...left, 'blue');
    await until(...right, 'blue');
    await page.keyboard.up('b');
    await until(...left, 'red');
  });

  it('fade into each other', async () => {
    await page.getByRole('radio', { name: 'fade' }).click();
    await page.getByLabel(/^reflected light, before at/).fill('100');
    await until(...left, 'blue');
    await page.getByLabel(/^reflected light, before at/).fill('0');
    await until(...left, 'red');
    await look(page, 'bench-fade-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: 'only one sheet' }).click();
  });

  it('are lit from where the lamp is led on the clock', async () => {
    const clock = page.getByRole('slider', { name: /Lamp/ });
    const place = (await clock.boundingBox())!;
    const middle = [place.x + place.width / 2, place.y + place.height / 2] as const;
    await page.mouse.move(middle[0], middle[1] - 40);
    await page.mouse.down();
    await page.getByText('lamp at 12 o’clock').waitFor();
    await page.mouse.move(middle[0] + 40, middle[1] + 4, { steps: 5 });
    await page.getByText('lamp at 3 o’clock').waitFor();
    await page.mouse.up();
    await until(...left, 'green');
    await look(page, 'bench-lamp-desk');
    await clock.focus();
    await page.keyboard.press('ArrowRight');
    await page.getByText('lamp at 9 o’clock').waitFor();
    expect(new URL(page.url()).searchParams.get('photo')).not.toBeNull();
  });
});

describe('findings by mouse and keys', () => {
  let watched: Watched;
  let page: Page;
  let at: At;
  beforeAll(async () => {
    watched = await enter('desk');
    page = watched.page;
    await page.goto(`${bench()}?photo=none`);
    await plane(page).waitFor();
    at = await onBench(page, box, FOOT_PX);
  });
  afterAll(() => page.context().close());
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });

  it('are begun by two letters; a stroke is a crack with its length', async () => {
    await page.keyboard.press('g');
    await page.getByText('Glass: now the second letter').waitFor();
    await look(page, 'bench-letters-desk');
    expect(await barriers(page)).toEqual([]);
    await page.keyboard.press('c');
    await page.getByRole('group', { name: 'Drawing: crack' }).waitFor();
    // 40 mm down and 30 mm across in the lozenge round (150, 210): 50 mm.
    await mouseStroke(page, at, [
      [135, 195],
      [165, 235],
    ]);
    await said(page, /^50 mm, in piece \d+$/);
    await look(page, 'bench-crack-desk');
    expect(await barriers(page)).toEqual([]);
    await page.keyboard.press('Enter');
    const [crack] = await untilKept(1);
    expect(crack).toMatchObject({ term: 'glass.crack.simple', geometry: { kind: 'line' } });
    expect(crack!.measure.lengthMm).toBeCloseTo(50, 0);
    await page.getByRole('button', { name: /^crack in \d+, 50 mm, seen on the inside$/ }).waitFor();
  });

  it('go on: the next stroke records the one before, no room is changed', async () => {
    const address = page.url();
    for (const y of [60, 65, 70])
      await mouseStroke(page, at, [
        [40, y],
        [60, y],
      ]);
    await untilKept(3);
    await page.keyboard.press('Enter');
    await untilKept(4);
    expect(page.url()).toBe(address);
  });

  it('are taken back one by one, and the ledger keeps both', async () => {
    await page.keyboard.press('u');
    await untilKept(3);
    await page.keyboard.press('u');
    await untilKept(2);
    expect(await kept('withdrawn')).toHaveLength(2);
  });

  it('end at the edge of the glass, or free with Alt', async () => {
    const net = await panel.ask<{ pieces: { sightRingsMm: [number, number][][] }[] }>('/nets/1');
    const edges = net.pieces.flatMap(({ sightRingsMm }) =>
      sightRingsMm.flatMap((ring) =>
        ring.map((a, i) => [a, ring[(i + 1) % ring.length]!] as const),
      ),
    );
    const off = ([x, y]: readonly [number, number]) =>
      Math.min(
        ...edges.map(([[ax, ay], [bx, by]]) => {
          const t =
            ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2);
          const s = Math.min(1, Math.max(0, t));
          return Math.hypot(x - ax - s * (bx - ax), y - ay - s * (by - ay));
        }),
      );
    // From 1.6 mm beside the lead between (100, 210) and (150, 140) into the lozenge round (150, 210).
    const path = [
      [127, 180],
      [150, 215],
    ] as const;
    await mouseStroke(page, at, path);
    await page.keyboard.press('Enter');
    const [pulled] = await untilKept(3);
    expect(off(pulled!.geometry.xyMm[0]!)).toBeLessThan(0.01);
    await page.keyboard.down('Alt');
    await mouseStroke(page, at, path);
    await page.keyboard.up('Alt');
    await plane(page).focus();
    await page.keyboard.press('Enter');
    const [free] = await untilKept(4);
    const [x, y] = free!.geometry.xyMm[0]!;
    expect(Math.hypot(x - 127, y - 180)).toBeLessThan(0.6);
  });

  it('by lasso and brush are areas, on several pieces measured on each', async () => {
    await page.keyboard.press('p');
    await page.keyboard.press('l');
    await page.getByRole('group', { name: 'Drawing: paint loss' }).waitFor();
    await page.keyboard.press('n');
    await mouseStroke(page, at, [
      [140, 200],
      [160, 200],
      [160, 220],
      [140, 220],
      [140, 200],
    ]);
    await said(page, /^4\.0 cm², \d+ % of the piece, in piece \d+$/);
    // Over the lead into the next lozenge: one finding on two pieces.
    await page.getByRole('button', { name: 'brush', exact: true }).click();
    await page.getByLabel(/^Width of the brush/).fill('10');
    await mouseStroke(page, at, [
      [150, 210],
      [200, 145],
    ]);
    await said(page, /cm²; \d+: .*cm², \d+ %; \d+: /);
    await page.keyboard.press('x');
    await mouseStroke(page, at, [
      [148, 210],
      [152, 210],
    ]);
    await look(page, 'bench-brush-desk');
    expect(await barriers(page)).toEqual([]);
    const before = await kept();
    await page.getByRole('button', { name: 'Record this finding' }).click();
    const [area] = await untilKept(before.length + 1);
    expect(area).toMatchObject({ term: 'paint.loss', geometry: { kind: 'area' } });
    // 400 mm² and a band of 10 mm along what of 82 mm lies outside the square, less a hole of some 118 mm².
    expect(area!.measure.areaMm2).toBeGreaterThan(800);
    expect(area!.measure.areaMm2).toBeLessThan(1050);
    await page.getByRole('button', { name: /^paint loss in \d+, \d+/ }).waitFor();
    await page.keyboard.press('x');
    await page.keyboard.press('n');
  });

  it('cover a whole piece by one tap, and are copied to its neighbours as one act', async () => {
    await page.keyboard.press('Escape');
    await page.keyboard.press('g');
    await page.keyboard.press('u');
    await page
      .getByRole('group', { name: 'Drawing: crust' })
      .waitFor()
      .catch(() => undefined);
    await page.getByRole('button', { name: 'whole piece' }).click();
    await page.mouse.click(...at(150, 215));
    await said(page, /100 % of the piece/);
    const before = await kept();
    await plane(page).focus();
    await page.keyboard.press('Enter');
    const [crust] = await untilKept(before.length + 1);
    expect(crust!.measure.shareRatio).toBeCloseTo(1, 2);
    await page.keyboard.press('Escape');
    await page
      .getByRole('article', { name: 'Findings' })
      .getByRole('button', { name: new RegExp(`100 % of the piece`) })
      .click();
    await page.keyboard.press('c');
    await page.getByRole('button', { name: 'all that touch it' }).click();
    await look(page, 'bench-copy-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: 'Copy it to 4 pieces' }).click();
    const copies = (await untilKept(before.length + 5)).slice(0, 4);
    expect(copies.every(({ measure }) => measure.shareRatio! > 0.99)).toBe(true);
    await page.keyboard.press('u');
    await untilKept(before.length + 1);
  });

  it('wait without a line and are sent when there is one', async () => {
    await page.goto(`${bench()}/find/glass.crack.simple?photo=none`);
    await page.getByRole('group', { name: 'Drawing: crack' }).waitFor();
    const before = await kept();
    await page.context().setOffline(true);
    await mouseStroke(page, at, [
      [40, 340],
      [60, 340],
    ]);
    await page.keyboard.press('Enter');
    await page.getByText('one is on the way').waitFor();
    await page.getByRole('alert').filter({ hasText: 'Nothing is lost' }).waitFor();
    await page.context().setOffline(false);
    await page.reload();
    await untilKept(before.length + 1);
    await page.keyboard.press('Escape');
  });
});

describe('findings by keys alone', () => {
  it('are aimed at under a cross, set point by point, recorded, and typed as numbers', async () => {
    const { page, errors } = await enter('desk');
    await page.goto(`${bench()}?photo=none`);
    await plane(page).waitFor();
    const before = (await kept()).length;
    await page.keyboard.press('g');
    await page.keyboard.press('c');
    await page.getByRole('group', { name: 'Drawing: crack' }).waitFor();
    await page.keyboard.press('Enter');
    for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
    await look(page, 'bench-keys-desk');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('Backspace');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await said(page, /^\d+ mm/);
    await page.keyboard.press('Enter');
    const [crack] = await untilKept(before + 1);
    expect(crack!.geometry.xyMm).toHaveLength(2);
    // Numbers: 30 mm from (150, 200) towards 3 o’clock ends at (180, 200).
    await page.getByText('By numbers').press('Enter');
    await page.getByLabel('Pulled to joints and edges within, mm').fill('0');
    await page.getByLabel('From the left, mm').fill('150');
    await page.getByLabel('From the top, mm').fill('200');
    await page.keyboard.press('Enter');
    await page.getByLabel('On by, mm').fill('30');
    await page.getByLabel('Towards, o’clock').fill('3');
    await page.getByRole('button', { name: 'Go on from the last point' }).press('Enter');
    await look(page, 'bench-numbers-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: 'Record this finding' }).press('Enter');
    const [typed] = await untilKept(before + 2);
    expect(typed!.geometry.xyMm).toEqual([
      [150, 200],
      [180, 200],
    ]);
    expect(errors).toEqual([]);
    await page.context().close();
  });
});

describe('findings by pen and finger', () => {
  it('are drawn by one of them; two fingers push and zoom, a resting hand does nothing', async () => {
    const { page, errors } = await enter('phone');
    await page.goto(`${bench()}/find/glass.crack.simple?photo=none`);
    await page.getByRole('group', { name: 'Drawing: crack' }).waitFor();
    const at = await onBench(page, box, FOOT_PX);
    const session = await page.context().newCDPSession(page);
    const before = (await kept()).length;
    const finger = (path: readonly (readonly [number, number])[]) => path.map(([x, y]) => at(x, y));
    const down = [
      [130, 180],
      [170, 240],
    ] as const;
    await fingerStrokes(session, [finger(down)]);
    // 40 mm across and 60 mm down: 72 mm.
    await said(page, /^7[0-4] mm, in piece \d+$/);
    await look(page, 'bench-finger-phone');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: /^record, go on/ }).click();
    await untilKept(before + 1);

    const scale = () => page.locator('.scale-bar').textContent();
    const whole = await scale();
    await fingerStrokes(session, [
      finger([
        [140, 200],
        [90, 130],
      ]),
      finger([
        [160, 220],
        [210, 290],
      ]),
    ]);
    await page.waitForTimeout(500);
    expect(await scale()).not.toBe(whole);
    await said(page, /^nothing drawn yet$/);

    await penStroke(session, at, [
      [140, 200],
      [150, 215],
    ]);
    await said(page, /^\d+ mm, in piece \d+$/);
    const drawn = await page.locator('.find-said output').textContent();
    // The ball of the hand that holds the pen.
    await fingerStrokes(session, [
      finger([
        [120, 230],
        [180, 260],
      ]),
    ]);
    expect(await page.locator('.find-said output').textContent()).toBe(drawn);
    await page.getByRole('button', { name: /^record, go on/ }).click();
    await untilKept(before + 2);
    expect(errors).toEqual([]);
    await page.context().close();
  });

  it('fit a thumb: areas, the sheets and the record at 390 px', async () => {
    const { page, errors } = await enter('phone');
    await page.goto(`${bench()}/find/paint.loss?photo=${transmitted}`);
    await page.getByRole('group', { name: 'Drawing: paint loss' }).waitFor();
    await page.waitForTimeout(800);
    await look(page, 'bench-area-phone');
    expect(await barriers(page)).toEqual([]);
    await page.goto(`${bench()}?photo=${transmitted}`);
    await page.getByRole('button', { name: /^lay over ?: reflected light, before$/ }).click();
    await page.waitForTimeout(800);
    await look(page, 'bench-sheets-phone');
    expect(await barriers(page)).toEqual([]);
    expect(errors).toEqual([]);
    await page.context().close();
  });
});
