/** Drawing on the bench as a hand does: strokes by mouse, pen and finger through the browser's own input. */
import type { CDPSession, Page } from 'playwright-core';

export type At = (xMm: number, yMm: number) => readonly [number, number];
export type Mm = readonly [number, number];

/** Where a place of the panel is on the screen while the bench shows it whole. @param footPx room kept for the hand's dock */
export async function onBench(
  page: Page,
  box: { minX: number; minY: number; maxX: number; maxY: number },
  footPx = 0,
): Promise<At> {
  const plane = page.getByRole('application', { name: /Lead drawing of/ });
  const place = await plane.boundingBox();
  if (!place) throw new Error('the bench is not on screen');
  // The room that the bench leaves round a drawing: top, right, bottom, left.
  const [top, right, bottom, left] =
    place.width >= 600
      ? [40, 40, Math.max(92, footPx), 190]
      : footPx > 0
        ? [12, 12, footPx, 12]
        : [122, 14, 92, 14];
  const [roomX, roomY] = [place.width - left - right, place.height - top - bottom];
  const pxPerMm = Math.min(roomX / (box.maxX - box.minX), roomY / (box.maxY - box.minY));
  const startX = place.x + left + (roomX - (box.maxX - box.minX) * pxPerMm) / 2;
  const startY = place.y + top + (roomY - (box.maxY - box.minY) * pxPerMm) / 2;
  return (xMm, yMm) => [startX + (xMm - box.minX) * pxPerMm, startY + (yMm - box.minY) * pxPerMm];
}

/** Points along a path of corners, so that a stroke has places between them. */
function along(path: readonly (readonly [number, number])[], steps: number) {
  return path.flatMap(([x, y], i) => {
    const [fromX, fromY] = path[i - 1] ?? [x, y];
    return i === 0
      ? [[x, y] as const]
      : Array.from({ length: steps }, (_, k) => {
          const t = (k + 1) / steps;
          return [fromX + (x - fromX) * t, fromY + (y - fromY) * t] as const;
        });
  });
}

export async function mouseStroke(page: Page, at: At, path: readonly Mm[]): Promise<void> {
  const [first, ...rest] = along(
    path.map(([x, y]) => at(x, y)),
    8,
  );
  await page.mouse.move(...first!);
  await page.mouse.down();
  for (const place of rest) await page.mouse.move(...place);
  await page.mouse.up();
}

/** A pen, as the browser is told of one by its own protocol. */
export async function penStroke(session: CDPSession, at: At, path: readonly Mm[]): Promise<void> {
  const places = along(
    path.map(([x, y]) => at(x, y)),
    8,
  );
  const say = async (type: 'mousePressed' | 'mouseMoved' | 'mouseReleased', i: number) => {
    const [x, y] = places[i]!;
    await session.send('Input.dispatchMouseEvent', {
      type,
      x,
      y,
      pointerType: 'pen',
      button: 'left',
      buttons: type === 'mouseReleased' ? 0 : 1,
      force: 0.5,
      clickCount: 1,
    });
  };
  await say('mousePressed', 0);
  for (let i = 1; i < places.length; i++) await say('mouseMoved', i);
  await say('mouseReleased', places.length - 1);
}

/** One list of corners a finger; all fingers go their ways together. */
export async function fingerStrokes(
  session: CDPSession,
  fingers: readonly (readonly (readonly [number, number])[])[],
): Promise<void> {
  const ways = fingers.map((path) => along(path, 8));
  const points = (i: number) => ways.map((way, id) => ({ x: way[i]![0], y: way[i]![1], id }));
  await session.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: points(0) });
  for (let i = 1; i < ways[0]!.length; i++)
    await session.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: points(i) });
  await session.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
}
