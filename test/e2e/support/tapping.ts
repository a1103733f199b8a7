import type { Page } from 'playwright-core';

/** How a picture lies on a board: px of the picture → px of the screen, taken from the board itself. */
interface BoardView {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/**
 * Taps a place of a picture that a board shows whole: tap roughly, then nudge with the arrow keys
 * until the place read out beside the mark is within `reachPx`, as a person with a loupe does.
 */
export async function tapPicture(
  page: Page,
  label: RegExp,
  pictureSizePx: readonly [number, number],
  mark: string,
  [x, y]: readonly [number, number],
): Promise<void> {
  const board = page.getByRole('application', { name: label });
  const box = await board.boundingBox();
  if (!box) throw new Error('the board is not on screen');
  const view = fitted(box, pictureSizePx);
  await page.mouse.click(
    view.left + (x / pictureSizePx[0]) * view.width,
    view.top + (y / pictureSizePx[1]) * view.height,
  );
  const readout = page
    .getByRole('listitem')
    .filter({ has: page.getByRole('button', { name: mark, exact: true }) })
    .locator('.mark-tap');
  await readout.filter({ hasText: /px/ }).waitFor({ timeout: 5000 });
  await page.getByRole('button', { name: mark, exact: true }).click();
  await board.focus();
  for (let turn = 0; turn < 4; turn++) {
    const [atX, atY] = ((await readout.textContent()) ?? '')
      .split(',')
      .map((text) => Number.parseFloat(text));
    const [dx, dy] = [Math.round(x - atX!), Math.round(y - atY!)];
    if (dx === 0 && dy === 0) return;
    await nudge(page, dx, 'ArrowRight', 'ArrowLeft');
    await nudge(page, dy, 'ArrowDown', 'ArrowUp');
  }
  throw new Error(`mark ${mark} could not be set at ${x}, ${y}`);
}

async function nudge(page: Page, by: number, forward: string, back: string): Promise<void> {
  const key = by > 0 ? forward : back;
  const steps = Math.abs(by);
  for (let i = 0; i < Math.floor(steps / 10); i++) await page.keyboard.press(`Shift+${key}`);
  for (let i = 0; i < steps % 10; i++) await page.keyboard.press(key);
}

/** The room that the board leaves round a picture is the studio's `tapAir`: top, right, bottom, left. */
const air = [26, 26, 76, 26] as const;

function fitted(
  box: { x: number; y: number; width: number; height: number },
  [widthPx, heightPx]: readonly [number, number],
): BoardView {
  const roomWidth = box.width - air[1] - air[3];
  const roomHeight = box.height - air[0] - air[2];
  const scale = Math.min(roomWidth / widthPx, roomHeight / heightPx);
  return {
    left: box.x + air[3] + (roomWidth - widthPx * scale) / 2,
    top: box.y + air[0] + (roomHeight - heightPx * scale) / 2,
    width: widthPx * scale,
    height: heightPx * scale,
  };
}
