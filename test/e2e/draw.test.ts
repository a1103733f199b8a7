/** Drawing by hand in the browser: dragging, drawing, the queue of doubts, keeping, two at one panel. */
import { jest } from '@jest/globals';
import type { Browser, Page } from 'playwright-core';
import { lozengeSketch, type NetSketch } from '#libs/net';
import { barriers } from './support/accessible.js';
import { look, openBrowser, openPage, type Watched } from './support/browser.js';
import { type DrawnPanel, drawnPanel, onBoard } from './support/drawn-panel.js';
import { type RunningMullion, startMullion } from './support/running-mullion.js';

jest.setTimeout(240_000);

/** Quarries of 100 × 140 mm in a frame of 10 mm came: 6 × 6, 73 pieces; the edge over the came. */
const box = { minX: -5, minY: -5, maxX: 605, maxY: 845 };
const board = /Drawing of SLM.wI.1a/;

function quarries(): NetSketch {
  const sketch = lozengeSketch({
    columns: 6,
    rows: 6,
    widthMm: 100,
    heightMm: 140,
    faceWidthMm: 6,
    outerFaceMm: 10,
  });
  const doubtful = new Map([
    [10, 0.4],
    [50, 0.55],
    [90, 0.7],
  ]);
  return {
    ...sketch,
    leads: sketch.leads.map((lead, i) =>
      doubtful.has(i) ? { ...lead, confidenceP: doubtful.get(i)!, doubts: ['weak-wax'] } : lead,
    ),
  };
}

describe('drawing by hand', () => {
  let mullion: RunningMullion;
  let browser: Browser;
  let watched: Watched;
  let page: Page;
  let panel: DrawnPanel;
  const room = () => `${mullion.origin}/at/${panel.mark}/draw`;

  beforeAll(async () => {
    [mullion, browser] = await Promise.all([startMullion(), openBrowser()]);
    panel = await drawnPanel(mullion, quarries());
    watched = await openPage(browser, 'desk');
    page = watched.page;
    page.setDefaultTimeout(30_000);
    await panel.enter(page.context());
  });
  afterAll(async () => {
    await browser.close();
    await mullion.stop();
  });
  afterEach(() => {
    expect(watched.errors).toEqual([]);
  });

  const drawing = () => page.getByRole('article', { name: 'The drawing' });
  const said = (words: RegExp) =>
    drawing().getByRole('status').filter({ hasText: words }).waitFor();
  const whole = () => said(/\d+ pieces, every lead joined/);
  const note = () => page.getByLabel('What was changed, and why').inputValue();
  const drag = async (from: readonly [number, number], to: readonly [number, number]) => {
    await page.mouse.move(...from);
    await page.mouse.down();
    for (let i = 1; i <= 6; i++)
      await page.mouse.move(
        from[0] + ((to[0] - from[0]) * i) / 6,
        from[1] + ((to[1] - from[1]) * i) / 6,
      );
    await page.mouse.up();
  };

  it('is a step from the bench', async () => {
    await page.goto(`${mullion.origin}/at/${panel.mark}`);
    await page.getByRole('link', { name: 'draw on it by hand' }).click();
    await page.getByRole('application', { name: board }).waitFor();
    await whole();
    await look(page, 'draw-desk');
    expect(await barriers(page)).toEqual([]);
  });

  it('moves a joint with its leads and says what moved', async () => {
    const at = await onBoard(page, board, box);
    await drag(at(300, 350), at(306, 344));
    await whole();
    await said(/: 4 leads moved ≤ \d\.\d mm$/);
    expect(await note()).toMatch(/^4 leads moved ≤ \d\.\d mm$/);
    await page.getByRole('button', { name: /undo.*move a joint/ }).waitFor();
    await page.keyboard.press('z');
    await drawing().getByRole('heading', { name: 'Revision 1', exact: true }).waitFor();
    await page.keyboard.press('x');
    await whole();
    expect(await note()).toMatch(/^4 leads moved/);
    await page.keyboard.press('z');
  });

  it('nudges a chosen joint by a tenth, and by a millimetre with Shift', async () => {
    const at = await onBoard(page, board, box);
    await page.mouse.click(...at(300, 350));
    const left = page.getByLabel('From the left, mm');
    expect(await left.inputValue()).toBe('300.00');
    await page.getByRole('application', { name: board }).focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    expect(await left.inputValue()).toBe('301.20');
    // Nudges of one thing are one act.
    await page.keyboard.press('z');
    expect(await left.inputValue()).toBe('300.00');
    await left.fill('302,5');
    await page.getByRole('button', { name: 'Put it there' }).click();
    expect(await left.inputValue()).toBe('302.50');
    await page.getByRole('application', { name: board }).focus();
    await page.keyboard.press('z');
    await page.keyboard.press('Escape');
  });

  it('puts a mending lead through a piece and letters its parts', async () => {
    const at = await onBoard(page, board, box);
    await page.keyboard.press('d');
    await page.getByLabel('It is').selectOption('mending');
    await page.getByLabel('Face width, mm').fill('4');
    await page.mouse.click(...at(325, 315));
    await page.mouse.move(...at(350, 350));
    await look(page, 'draw-mending-desk');
    await page.mouse.click(...at(375, 385));
    await page.getByText(/A mending lead goes through \d+/).waitFor();
    const text = (await drawing().textContent()) ?? '';
    const piece = /goes through (\d+)/.exec(text)![1]!;
    expect(await note()).toBe(`1 mending lead added in ${piece}`);
    await page.getByRole('button', { name: `Call them ${piece}a and ${piece}b` }).click();
    await said(new RegExp(`${piece} is ${piece}a and ${piece}b$`));
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: /Keep as revision 2/ }).click();
    await page.getByText('Revision 2 is in the archive.').waitFor();
    const [newest] = (await panel.ask<{ items: { revision: number; note: string }[] }>('/nets'))
      .items;
    expect(newest).toMatchObject({ revision: 2 });
    expect(newest!.note).toContain(`mending lead added in ${piece}`);
  });

  it('names an open end at its place and joins it across', async () => {
    const at = await onBoard(page, board, box);
    await page.keyboard.press('d');
    await page.getByLabel('It is').selectOption('came');
    await page.mouse.click(...at(125, 105));
    await page.mouse.click(...at(150, 70));
    await page.getByRole('button', { name: 'end it here' }).click();
    await page
      .getByRole('list', { name: 'What is wrong' })
      .getByText(/ends in the glass/)
      .waitFor();
    await look(page, 'draw-open-end-desk');
    await page.keyboard.press('m');
    await page.keyboard.press('j');
    await whole();
    await page.keyboard.press('z');
    await page.keyboard.press('z');
    await drawing().getByRole('heading', { name: 'Revision 2', exact: true }).waitFor();
  });

  it('keeps unsaved work through a reload', async () => {
    const at = await onBoard(page, board, box);
    await drag(at(300, 490), at(296, 484));
    await whole();
    const before = await note();
    await page.reload();
    await page.getByText('Your work of last time was in this browser and is here again.').waitFor();
    await whole();
    expect(await note()).toBe(before);
  });

  it('puts the work on top of what somebody else kept meanwhile', async () => {
    const two = await panel.ask<{ leads: { leadId: string; lineMm: number[][] }[] }>('/nets/2');
    const sketch = sketchOf(two);
    const other = sketch.leads.findIndex(({ kind }) => kind === 'came');
    const leads = sketch.leads.map((lead, i) =>
      i === other ? { ...lead, faceWidthMm: 8.5 } : lead,
    );
    expect(await panel.revise({ sketch: { ...sketch, leads }, note: 'gauged' }, 2)).toBe(3);
    await page.getByRole('button', { name: /Keep as revision 3/ }).click();
    await page.getByRole('heading', { name: 'Somebody kept a newer revision meanwhile' }).waitFor();
    await look(page, 'draw-conflict-desk');
    expect(await barriers(page)).toEqual([]);
    await page.getByRole('button', { name: 'Put my work on top of it' }).click();
    await page.getByRole('button', { name: /Keep as revision 4/ }).waitFor();
    await whole();
    // Only mine differs from theirs: the width that was gauged stands.
    expect(await note()).toMatch(/^4 leads moved ≤ \d\.\d mm$/);
    await page.getByRole('button', { name: /Keep as revision 4/ }).click();
    await page.getByText('Revision 4 is in the archive.').waitFor();
    const four = await panel.ask<{ leads: { faceWidthMm: number }[] }>('/nets/4');
    expect(four.leads.filter(({ faceWidthMm }) => faceWidthMm === 8.5)).toHaveLength(1);
  });

  it('asks the doubts one by one, the worst first, by single keys', async () => {
    await page.getByRole('application', { name: board }).focus();
    await page.keyboard.press('r');
    const review = page.getByRole('article', { name: 'Places in doubt' });
    await review.getByText('1 of 3, read with 40 % confidence').waitFor();
    await look(page, 'draw-review-desk');
    expect(await barriers(page)).toEqual([]);
    await page.keyboard.press('y');
    await review.getByText('2 of 3, read with 55 % confidence').waitFor();
    await page.keyboard.press('Backspace');
    await review.getByText('1 of 3').waitFor();
    await page.keyboard.press('s');
    await review.getByText('2 of 3, read with 55 %').waitFor();
    await page.keyboard.press('n');
    await review.getByText('3 of 3, read with 70 %').waitFor();
    await page.keyboard.press('y');
    await review.getByRole('button', { name: 'Look at what was skipped' }).click();
    await review.getByText('3 of 3, read with 40 %').waitFor();
    await review.getByRole('button', { name: /yes, it is there/ }).click();
    await review.getByRole('heading', { name: 'Nothing doubtful is left' }).waitFor();
    await whole();
    expect(await note()).toMatch(/1 lead erased at \d+ and \d+, 3 doubts answered$/);
  });

  it('keeps and signs what was looked through', async () => {
    await page.getByRole('button', { name: 'Sign this drawing?' }).click();
    await page.getByText('Signing fixes the piece numbers for ever.').waitFor();
    await page.getByRole('button', { name: 'Keep and sign revision 5' }).click();
    await page.getByText(/revision 5 signed/).waitFor();
  });

  it('says that a signed drawing stays, and what an edit becomes', async () => {
    await page.goto(room());
    await page.getByText('Revision 5 is signed and stays as it is.').waitFor();
    await page.getByText('What you change becomes revision 6, which nobody has signed.').waitFor();
    await look(page, 'draw-signed-desk');
  });

  describe('on a phone', () => {
    let phone: Watched;
    beforeAll(async () => {
      phone = await openPage(browser, 'phone');
      await panel.enter(phone.page.context());
      await phone.page.goto(room());
      await phone.page.getByRole('application', { name: board }).waitFor();
    });
    afterAll(() => phone.page.context().close());

    it('moves only what was chosen before, under a loupe', async () => {
      const at = await onBoard(phone.page, board, box);
      const touch = await phone.page.context().newCDPSession(phone.page);
      const send = (
        type: 'touchStart' | 'touchMove' | 'touchEnd',
        xy?: readonly [number, number],
      ) =>
        touch.send('Input.dispatchTouchEvent', {
          type,
          touchPoints: xy ? [{ x: xy[0], y: xy[1] }] : [],
        });
      await phone.page.touchscreen.tap(...at(300, 350));
      await phone.page
        .getByRole('article', { name: 'What is chosen' })
        .getByText(/joint/)
        .first()
        .waitFor();
      const [x, y] = at(300, 350);
      await send('touchStart', [x, y]);
      for (let i = 1; i <= 8; i++) await send('touchMove', [x + i * 2, y - i]);
      await phone.page.locator('.loupe').waitFor({ state: 'visible' });
      await look(phone.page, 'draw-loupe-phone');
      await send('touchEnd');
      await phone.page.getByRole('button', { name: /undo.*move a joint/ }).waitFor();
      expect(await barriers(phone.page)).toEqual([]);
      expect(await phone.page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBe(
        0,
      );
      await phone.page.getByRole('button', { name: /undo.*move a joint/ }).click();
      expect(phone.errors).toEqual([]);
    });

    it('has the answers to a doubt under the thumb', async () => {
      const sketch = sketchOf(await panel.ask('/nets/5'));
      const leads = sketch.leads.map((lead, i) =>
        i === 20 ? { ...lead, confidenceP: 0.5, doubts: ['gap-bridged'] } : lead,
      );
      await panel.revise({ sketch: { ...sketch, leads }, note: 'read again' }, 5);
      await phone.page.goto(`${room()}?doubts=yes`);
      const answers = phone.page.getByRole('toolbar', { name: 'Answers' });
      const yes = answers.getByRole('button', { name: 'yes, it is there' });
      await yes.waitFor();
      await look(phone.page, 'draw-review-phone');
      expect((await yes.boundingBox())?.height).toBeGreaterThanOrEqual(44);
      expect(await barriers(phone.page)).toEqual([]);
      await yes.tap();
      await phone.page.getByRole('heading', { name: 'Nothing doubtful is left' }).waitFor();
      expect(phone.errors).toEqual([]);
    });
  });
});

/** A net's own drawing as the API takes it. */
function sketchOf(net: unknown): { nodes: unknown[]; leads: { kind: string }[] } {
  const { joints, leads } = net as {
    joints: { jointId: string; xyMm: unknown }[];
    leads: ({ fromJointId: string; toJointId: string; kind: string } & Record<string, unknown>)[];
  };
  const place = new Map(joints.map(({ jointId }, i) => [jointId, i]));
  return {
    nodes: joints.map(({ xyMm }) => ({ xyMm })),
    leads: leads.map((lead) => ({
      from: place.get(lead.fromJointId),
      to: place.get(lead.toJointId),
      kind: lead.kind,
      lineMm: lead['lineMm'],
      faceWidthMm: lead['faceWidthMm'],
      widthSpreadMm: lead['widthSpreadMm'],
      profile: lead['profile'],
      confidenceP: lead['confidenceP'],
      doubts: lead['doubts'],
    })),
  };
}
