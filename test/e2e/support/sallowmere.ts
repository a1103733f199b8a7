/** The west window of the demo's chapel with its earlier years, without rubbings: ready in seconds. */
import type { DemoClient } from '../../../apps/worker/src/demo/demo-client.js';
import { recordPastWork, recordSurveys } from '../../../apps/worker/src/demo/fill-past.js';
import { SALLOWMERE_WINDOWS } from '../../../apps/worker/src/demo/sallowmere-windows.js';
import { lozengeSketch } from '../../../libs/net/src/index.js';
import type { Keeper } from './keeper.js';

interface Panel {
  readonly panelId: string;
  readonly mark: string;
  readonly ringMm: readonly number[];
}

const clientOf = (keeper: Keeper): DemoClient => ({
  get: (path) => keeper.ask(path),
  post: (path, _key, body) => keeper.post(path, body),
  put: () => Promise.reject(new Error('nothing is revised here')),
  send: () => Promise.reject(new Error('no picture is sent here')),
});

/** Draws the windows and records surveys and works; one panel of wI has a lead drawing of lozenges. */
export async function sallowmereOf(keeper: Keeper): Promise<{ siteId: string; drawn: string }> {
  const client = clientOf(keeper);
  const { siteId } = await keeper.post<{ siteId: string }>('/v1/sites', {
    code: 'SLM',
    name: 'Sallowmere Chapel',
    scheme: 'church',
  });
  const panels = new Map<string, readonly Panel[]>();
  const windowIds = new Map<string, string>();
  for (const { mark, title, drawing } of SALLOWMERE_WINDOWS) {
    const { windowId } = await keeper.post<{ windowId: string }>(`/v1/sites/${siteId}/windows`, {
      mark,
      title,
      drawing,
    });
    windowIds.set(mark, windowId);
    panels.set(mark, (await keeper.ask<{ panels: Panel[] }>(`/v1/windows/${windowId}`)).panels);
  }
  await recordPastWork(client, siteId);
  const west = panels.get('wI')!;
  await recordSurveys(client, windowIds.get('wI')!, west);
  const drawn = west.find(({ mark }) => mark === '12b')!;
  const at = `/v1/panels/${drawn.panelId}`;
  const sketch = lozengeSketch({
    columns: 3,
    rows: 4,
    widthMm: 246,
    heightMm: 105,
    faceWidthMm: 5,
    outerFaceMm: 10,
  });
  await keeper.post(
    `${at}/nets`,
    { sketch, face: 'inside', note: 'lozenges' },
    { 'If-Match': '"0"' },
  );
  await keeper.post(`${at}/nets/1/sign`, {});
  for (const [piece, term] of [
    ['5', 'paint.loss'],
    ['6', 'paint.loss'],
    ['9', 'glass.crack.simple'],
  ])
    await keeper.post(`${at}/findings`, {
      term,
      inPanel: piece,
      face: 'inside',
      happened: '2026-03-12',
      geometry:
        term === 'paint.loss'
          ? {
              kind: 'area',
              xyMm: [
                [300, 200],
                [320, 200],
                [320, 220],
              ],
            }
          : {
              kind: 'line',
              xyMm: [
                [300, 200],
                [340, 240],
              ],
            },
    });
  return { siteId, drawn: '12b' };
}
