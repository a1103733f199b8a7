/** Every act on a lead drawing by keys alone and by fingers alone; work that outlives the page. */
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type Watched } from './support/browser.js';
import { type DrawnPanel, drawnPanel, onBoard } from './support/drawn-panel.js';
import { quarries } from './support/quarries.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';

jest.setTimeout(240_000);

const box = { minX: -5, minY: -5, maxX: 305, maxY: 425 };
const board = /Drawing of SLM.wI.1a/;

interface Net {
  readonly leads: readonly {
    leadId: string;
    kind: string;
    lineMm: [number, number][];
    faceWidthMm: number;
  }[];
  readonly pieces: readonly { leadIds: string[] }[];
}

let mullion: RunningMullion;
let browser: Browser;
let panel: DrawnPanel;
let net: Net;

beforeAll(async () => {
  [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
  panel = await drawnPanel(mullion, quarries);
  net = await panel.ask<Net>('/nets/1');
});
afterAll(async () => {
  await browser.close();
  await mullion.stop();
});

const room = () => `${mullion.origin}/at/${panel.mark}/draw`;

/** What can be read off the screen, whichever hand is at work. */
function reader(page: Page) {
  const drawing = page.getByRole('article', { name: 'The drawing' });
  const chosen = page.getByRole('article', { name: 'What is chosen' });
  return {
    chosen,
    said: (words: RegExp) => drawing.getByRole('status').filter({ hasText: words }).waitFor(),
    untouched: () => drawing.getByRole('heading', { name: 'Revision 1', exact: true }).waitFor(),
    note: () => page.getByLabel('What was changed, and why').inputValue(),
    isChosen: (words: string | RegExp) =>
      chosen.getByRole('heading', { name: words, exact: true }).waitFor(),
    wrong: (words: RegExp) =>
      page.getByRole('list', { name: 'What is wrong' }).getByText(words).first().waitFor(),
  };
}
type Reader = ReturnType<typeof reader>;

/** Two leads on opposite sides of one quarry: drawn between their middles, a lead parts it. */
function oppositeSides(): readonly [string, string] {
  const kindOf = new Map(net.leads.map(({ leadId, kind }) => [leadId, kind]));
  const middle = (id: string) => {
    const line = net.leads.find(({ leadId }) => leadId === id)!.lineMm;
    const [a, b] = [line[0]!, line.at(-1)!];
    return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] as const;
  };
  const quarry = net.pieces.find(
    ({ leadIds }) => leadIds.length === 4 && leadIds.every((id) => kindOf.get(id) === 'came'),
  )!;
  const [first, ...rest] = quarry.leadIds;
  const far = (id: string) =>
    Math.hypot(middle(id)[0] - middle(first!)[0], middle(id)[1] - middle(first!)[1]);
  return [first!, rest.sort((a, b) => far(b) - far(a))[0]!];
}

describe('by keys alone', () => {
  let watched: Watched;
  let page: Page;
  let read: Reader;

  beforeAll(async () => {
    watched = await openPage(browser, 'desk');
    page = watched.page;
    page.setDefaultTimeout(30_000);
    read = reader(page);
    await panel.enter(page.context());
    await page.goto(room());
    await read.said(/pieces, every lead joined/);
  });
  afterAll(() => page.context().close());
  afterEach(async () => {
    expect(watched.errors).toEqual([]);
    await allUndone();
  });

  const press = async (...keys: string[]) => {
    for (const key of keys) await page.keyboard.press(key);
  };
  /** Back to the drawing as it was, nothing chosen, the hand that moves. */
  const allUndone = async () => {
    await page.getByRole('application', { name: board }).focus();
    await press('m', 'Escape');
    const undo = page.getByRole('button', { name: /^undo/ });
    while (await undo.isEnabled()) await press('z');
    await read.untouched();
  };
  const place = (leadId: string) => net.leads.findIndex((lead) => lead.leadId === leadId);
  /** Steps to a lead of the first drawing, from nothing or from another one. */
  const stepTo = async (leadId: string, from: string | null = null) => {
    const steps = place(leadId) - (from === null ? -1 : place(from));
    for (let i = 0; i < Math.abs(steps); i++) await press(steps > 0 ? '.' : ',');
  };
  const aCame = () => net.leads.find(({ kind }) => kind === 'came')!.leadId;

  it('moves a lead', async () => {
    await stepTo(aCame());
    await read.isChosen(`lead ${aCame()}`);
    await press('Shift+ArrowRight', 'Shift+ArrowRight');
    await read.said(/: \d+ leads? moved ≤ 2\.0 mm$/);
  });

  it('bends a lead, its ends standing still', async () => {
    await stepTo(aCame());
    await press('v', 'Shift+ArrowRight', 'Shift+ArrowRight', 'Shift+ArrowRight', 'v');
    await read.said(/: 1 lead moved ≤ \d\.\d mm$/);
    await page.getByRole('button', { name: new RegExp(`^undo.*bend lead ${aCame()}`) }).waitFor();
  });

  it('splits a lead, and joins it again across the gap', async () => {
    await press('c');
    await stepTo(aCame());
    await press('Enter');
    await page
      .getByRole('button', { name: new RegExp(`^undo.*put a joint on lead ${aCame()}`) })
      .waitFor();
    await read.isChosen('a new joint');
    await read.said(/every lead joined/);
    // The half that is new is the last of all leads.
    await press('Escape', ',', 'e');
    await read.wrong(/ends in the glass/);
    await press('j');
    await page.getByRole('button', { name: /^undo.*join across a gap/ }).waitFor();
    await read.said(/every lead joined/);
  });

  it('sets a profile on many', async () => {
    await stepTo(aCame());
    await press('w');
    const many = net.leads.filter(({ faceWidthMm }) => Math.abs(faceWidthMm - 6) < 0.4).length;
    await read.isChosen(`${many} leads`);
    await press('p', 'Tab', 'Tab');
    await page.keyboard.type('H 6 round');
    await press('Enter', 'Escape');
    await read.said(new RegExp(`: profile H 6 round on ${many} leads$`));
  });

  it.each([
    ['mending lead', 'mending'],
    ['strap lead', 'strap'],
  ])('draws a %s', async (words, kind) => {
    const [first, second] = oppositeSides();
    await press('d', 'p');
    await page.keyboard.type(kind.slice(0, 3));
    await press('Escape');
    await stepTo(first);
    await press('Enter');
    await stepTo(second, first);
    await press('Enter');
    await read.said(new RegExp(`: 1 ${words} added in \\d+`));
    if (kind === 'mending') {
      expect(await page.getByText(/A mending lead goes through \d+/).count()).toBe(1);
      await look(page, 'hands-mending-desk');
    }
  });

  it('erases a lead', async () => {
    await stepTo(aCame());
    await press('e');
    await read.said(/: 1 lead erased at \d+/);
  });

  it('chooses all in a box, and moves them', async () => {
    const at = await onBoard(page, board, box);
    await press('h', 'Enter');
    for (let i = 0; i < 12; i++) await press('ArrowRight', 'ArrowDown');
    await look(page, 'hands-box-desk');
    await press('Enter');
    // From the middle of the board, where the aim begins, twelve steps of 24 px each way.
    const area = (await page.getByRole('application', { name: board }).boundingBox())!;
    const [left, top] = [area.x + area.width / 2, area.y + area.height / 2];
    const isWithin = ([x, y]: readonly [number, number]) => {
      const [px, py] = at(x, y);
      const [right, bottom] = [px - left, py - top];
      return right >= 0 && right <= 288 && bottom >= 0 && bottom <= 288;
    };
    const inside = net.leads.filter(({ lineMm }) => lineMm.every(isWithin)).length;
    expect(inside).toBeGreaterThan(1);
    await read.isChosen(`${inside} leads`);
    expect(await barriers(page)).toEqual([]);
    await press('m', 'ArrowLeft');
    await read.said(/moved ≤ 0\.1 mm$/);
  });
});

describe('by fingers alone', () => {
  let watched: Watched;
  let page: Page;
  let read: Reader;

  beforeAll(async () => {
    watched = await openPage(browser, 'phone');
    page = watched.page;
    page.setDefaultTimeout(30_000);
    read = reader(page);
    await panel.enter(page.context());
    await page.goto(room());
    await page.getByRole('application', { name: board }).waitFor();
    await read.said(/pieces, every lead joined/);
  });
  afterAll(() => page.context().close());
  afterEach(async () => {
    expect(watched.errors).toEqual([]);
    await act('move');
    const undo = page.getByRole('button', { name: /^undo/ });
    while (await undo.isEnabled()) await undo.tap();
    await read.untouched();
    // A tap on the glass lets go of what was chosen.
    await tap(150, 210);
    await read.chosen.waitFor({ state: 'detached' });
  });

  const act = (words: string) =>
    page
      .getByRole('toolbar', { name: 'Drawing by hand' })
      .getByRole('button', { name: words, exact: true })
      .tap();
  const tap = async (xMm: number, yMm: number) => {
    const at = await onBoard(page, board, box);
    await page.touchscreen.tap(...at(xMm, yMm));
    // Two taps within the time of a double tap would be one.
    await page.waitForTimeout(350);
  };
  const drag = async (...places: readonly (readonly [number, number])[]) => {
    const at = await onBoard(page, board, box);
    const touch = await page.context().newCDPSession(page);
    const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', xy?: readonly [number, number]) =>
      touch.send('Input.dispatchTouchEvent', {
        type,
        touchPoints: xy ? [{ x: xy[0], y: xy[1] }] : [],
      });
    const way = places.map((place) => at(...place));
    let [a] = way;
    await send('touchStart', a);
    for (const b of way.slice(1)) {
      for (let i = 1; i <= 8; i++)
        await send('touchMove', [
          a![0] + ((b[0] - a![0]) * i) / 8,
          a![1] + ((b[1] - a![1]) * i) / 8,
        ]);
      a = b;
    }
    await send('touchEnd');
    await touch.detach();
  };
  /** On a lead of the quarry in the middle: from its top, 150 and 140, down to its right end. */
  const onLead = [175, 175] as const;

  it('bends a lead that was chosen before', async () => {
    await tap(...onLead);
    await read.isChosen(/^lead L\d+$/);
    // Out and half way back: a browser holds back the first 15 px of a finger's way.
    await drag(onLead, [197, 153], [181, 169]);
    await page.getByRole('button', { name: /^undo.*bend/ }).waitFor();
    await read.said(/: 1 lead moved ≤ \d+\.\d mm$/);
  });

  it('splits a lead, and joins it again across the gap', async () => {
    await act('put a joint');
    await tap(...onLead);
    await page.getByRole('button', { name: /^undo.*put a joint/ }).waitFor();
    await tap(160, 154);
    await act('erase');
    await read.wrong(/ends in the glass/);
    await act('join a gap');
    await page.getByRole('button', { name: /^undo.*join across a gap/ }).waitFor();
    await read.said(/every lead joined/);
  });

  it.each([
    ['mending lead', 'mending'],
    ['strap lead', 'strap'],
  ])('draws a %s', async (words, kind) => {
    await act('draw a lead');
    await page.getByLabel('It is').selectOption(kind);
    await tap(...onLead);
    await tap(125, 245);
    await read.said(new RegExp(`: 1 ${words} added in \\d+`));
  });

  it('chooses all in a box, and sets a profile on them', async () => {
    await act('choose many');
    await drag([-4, -4], [304, 424]);
    await read.isChosen(`${net.leads.length} leads`);
    await look(page, 'hands-box-phone');
    expect(await barriers(page)).toEqual([]);
    await page.getByLabel('Profile').fill('H 6 round');
    await page.getByRole('button', { name: `Set on ${net.leads.length} leads` }).tap();
    await read.said(new RegExp(`: profile H 6 round on ${net.leads.length} leads$`));
  });

  it('zooms with two fingers while it chooses many', async () => {
    await act('choose many');
    const scale = page.locator('.scale-bar');
    const before = await scale.textContent();
    const at = await onBoard(page, board, box);
    const [x, y] = at(150, 210);
    const touch = await page.context().newCDPSession(page);
    const fingers = (apartPx: number) => [
      { x: x - apartPx, y, id: 0 },
      { x: x + apartPx, y, id: 1 },
    ];
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: fingers(30) });
    for (let px = 40; px <= 110; px += 10)
      await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: fingers(px) });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await page.waitForFunction(
      (was) => document.querySelector('.scale-bar')?.textContent !== was,
      before,
    );
    const wasChosen = await read.chosen.count();
    await page.getByRole('button', { name: 'show the whole panel' }).tap();
    expect(wasChosen).toBe(0);
  });

  it('erases a lead', async () => {
    await tap(...onLead);
    await act('erase');
    await read.said(/: 1 lead erased at \d+/);
  });
});

/** Whether an act that was taken back lies in the browser's own store: nobody reloads as fast as a test. */
const UNDONE_IS_KEPT = `new Promise((resolve) => {
  const open = indexedDB.open('keyval-store');
  open.onsuccess = () => {
    const all = open.result.transaction('keyval').objectStore('keyval').getAll();
    all.onsuccess = () => {
      open.result.close();
      resolve(all.result.some((kept) => kept?.history?.future?.length > 0));
    };
  };
})`;

describe('work that is not kept yet', () => {
  let watched: Watched;
  let page: Page;
  let read: Reader;

  beforeAll(async () => {
    watched = await openPage(browser, 'desk');
    page = watched.page;
    page.setDefaultTimeout(30_000);
    read = reader(page);
    await panel.enter(page.context());
    await page.goto(room());
    await read.said(/pieces, every lead joined/);
  });
  afterAll(() => page.context().close());
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });

  it('can be undone and done again after a reload, act by act', async () => {
    await page.keyboard.press('.');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Escape');
    for (let i = 0; i < 12; i++) await page.keyboard.press('.');
    await page.keyboard.press('v');
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('z');
    await page.getByRole('button', { name: /^redo.*bend/ }).waitFor();
    await page.waitForFunction(UNDONE_IS_KEPT);
    await page.reload();
    await page.getByText('Your work of last time was in this browser and is here again.').waitFor();
    await page.getByRole('button', { name: /^redo.*bend/ }).waitFor();
    await page.getByRole('button', { name: /^undo.*nudge/ }).waitFor();
    await page.keyboard.press('x');
    await page.getByRole('button', { name: /^undo.*bend/ }).waitFor();
    await page.keyboard.press('z');
    await page.keyboard.press('z');
    await read.untouched();
    await page.keyboard.press('x');
    await read.said(/moved ≤ 1\.0 mm$/);
  });

  it('is offered when it was begun on an older revision, and can still be undone on top', async () => {
    const leads = quarries.leads.map((lead) =>
      lead.kind === 'outer' ? { ...lead, faceWidthMm: 11 } : lead,
    );
    expect(await panel.revise({ sketch: { ...quarries, leads }, note: 'gauged' }, 1)).toBe(2);
    await page.reload();
    const offer = page.getByRole('region', { name: 'Unsaved work' });
    await offer.getByRole('heading', { name: 'You have unsaved work here' }).waitFor();
    await offer.getByText(/Begun on revision 1: \d+ leads? moved ≤ 1\.0 mm\./).waitFor();
    await offer
      .getByText(/Revision 2 has been kept since, edited by hand by Studio head/)
      .waitFor();
    await look(page, 'hands-older-desk');
    expect(await barriers(page)).toEqual([]);
    await offer.getByRole('link', { name: 'Leave it for later' }).click();
    await page.goto(room());
    await offer.getByRole('button', { name: 'Put it on top of revision 2' }).click();
    await page.getByText('Your work, begun on revision 1, lies on top of revision 2.').waitFor();
    await read.said(/: \d+ leads? moved ≤ 1\.0 mm$/);
    await page.keyboard.press('z');
    await page
      .getByRole('article', { name: 'The drawing' })
      .getByRole('heading', { name: 'Revision 2', exact: true })
      .waitFor();
  });
});
