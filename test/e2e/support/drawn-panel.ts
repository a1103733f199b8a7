/** An archive with one panel whose lead drawing was put in by the API, for tests that begin at the bench. */
import type { BrowserContext, Page } from 'playwright-core';
import type { NetSketch } from '#libs/net';
import type { RunningMullion } from './running-mullion.js';

export interface DrawnPanel {
  readonly panelId: string;
  readonly mark: string;
  /** signs the browser in as the keeper */
  enter(context: BrowserContext): Promise<void>;
  /** another person's revision on top of `after` */
  revise(body: Readonly<Record<string, unknown>>, after: number): Promise<number>;
  /** what the archive answers to a path under the panel */
  ask<T>(path: string): Promise<T>;
}

/** @param sketch the first revision; null: nothing is drawn yet */
export async function drawnPanel(
  mullion: RunningMullion,
  sketch: NetSketch | null,
): Promise<DrawnPanel> {
  const { origin, welcome } = mullion;
  const json = { 'Content-Type': 'application/json' };
  const first = await fetch(`${origin}/v1/first-keeper`, {
    method: 'POST',
    headers: json,
    body: JSON.stringify({
      token: welcome.split('welcome=')[1],
      displayName: 'Studio head',
      login: 'head',
      password: 'seven slow herons on a wall',
    }),
  });
  const cookie = first.headers.get('set-cookie')?.split(';')[0] ?? '';
  const post = async <T>(path: string, body: unknown, headers = {}): Promise<T> => {
    const answer = await fetch(`${origin}${path}`, {
      method: 'POST',
      headers: { ...json, ...headers, Cookie: cookie, 'Idempotency-Key': crypto.randomUUID() },
      body: JSON.stringify(body),
    });
    if (answer.status >= 300) throw new Error(`${path}: ${await answer.text()}`);
    return (await answer.json()) as T;
  };
  const ask = async <T>(path: string): Promise<T> => {
    const answer = await fetch(`${origin}${path}`, { headers: { Cookie: cookie } });
    if (!answer.ok) throw new Error(`${path}: ${await answer.text()}`);
    return (await answer.json()) as T;
  };
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
    revise,
    ask: (path) => ask(`/v1/panels/${panelId}${path}`),
    async enter(context) {
      const [name = '', value = ''] = cookie.split('=');
      await context.addCookies([{ name, value, url: origin }]);
    },
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
