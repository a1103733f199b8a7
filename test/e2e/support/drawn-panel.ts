/** An archive with one panel whose lead drawing was put in by the API, for tests that begin at the bench. */
import type { BrowserContext, Page } from 'playwright-core';
import type { NetSketch } from '#libs/net';
import { firstKeeper, type Keeper } from './keeper.js';
import type { RunningMullion } from './running-mullion.js';

export interface DrawnPanel {
  readonly panelId: string;
  readonly mark: string;
  readonly siteId: string;
  readonly keeper: Keeper;
  /** signs the browser in as the keeper */
  enter(context: BrowserContext): Promise<void>;
  /** another person's revision on top of `after` */
  revise(body: Readonly<Record<string, unknown>>, after: number): Promise<number>;
  /** writes something new under the panel */
  post<T>(path: string, body: unknown): Promise<T>;
  /** revises what lies at a path of the API. @param version that was read */
  put<T>(path: string, body: unknown, version: number): Promise<T>;
  /** what the archive answers to a path under the panel */
  ask<T>(path: string): Promise<T>;
}

/** @param sketch the first revision; null: nothing is drawn yet */
export async function drawnPanel(
  mullion: RunningMullion,
  sketch: NetSketch | null,
): Promise<DrawnPanel> {
  const keeper = await firstKeeper(mullion);
  const { post, ask } = keeper;
  const { siteId } = await post<{ siteId: string }>('/v1/sites', {
    code: 'SLM',
    name: 'Sallowmere Chapel',
    scheme: 'church',
  });
  const opening = { kind: 'rectangular', widthMm: 620, heightMm: 870 };
  await post(`/v1/sites/${siteId}/windows`, {
    mark: 'wI',
    title: 'West window',
    drawing: {
      opening,
      lights: [{ letter: 'a', xMm: 0, yMm: 0, opening, rowHeightsMm: [870] }],
      tracery: [],
      bars: [],
    },
  });
  const mark = 'SLM.wI.1a';
  const { panelId } = await ask<{ panelId: string }>(`/v1/marks/${mark}`);
  const revise = async (body: Readonly<Record<string, unknown>>, after: number) => {
    const path = `/v1/panels/${panelId}/nets`;
    const { revision } = await post<{ revision: number }>(path, body, { 'If-Match': `"${after}"` });
    return revision;
  };
  if (sketch) await revise({ sketch, note: 'drawn for a test', face: 'inside' }, 0);
  return {
    panelId,
    mark,
    siteId,
    keeper,
    revise,
    post: (path, body) => post(`/v1/panels/${panelId}${path}`, body),
    put: keeper.put,
    ask: (path) => ask(`/v1/panels/${panelId}${path}`),
    enter: keeper.enter,
  };
}

/** Where a place of the panel is on the screen while the board shows the whole panel. */
export async function onBoard(
  page: Page,
  board: RegExp,
  box: { minX: number; minY: number; maxX: number; maxY: number },
): Promise<(xMm: number, yMm: number) => readonly [number, number]> {
  const place = await page.getByRole('application', { name: board }).boundingBox();
  if (!place) throw new Error('the board is not on screen');
  // The room that the board leaves round a drawing: top, right, bottom, left.
  const [top, right, bottom, left] = place.width >= 600 ? [64, 40, 160, 40] : [74, 16, 120, 16];
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const [roomX, roomY] = [place.width - left - right, place.height - top - bottom];
  const pxPerMm = Math.min(roomX / width, roomY / height);
  const startX = place.x + left + (roomX - width * pxPerMm) / 2;
  const startY = place.y + top + (roomY - height * pxPerMm) / 2;
  return (xMm, yMm) => [startX + (xMm - box.minX) * pxPerMm, startY + (yMm - box.minY) * pxPerMm];
}
