/** The demo, filled to its end, with what a picture of every room needs besides. */
import { lozengeSketch } from '../../../libs/net/src/index.js';
import { startMullion } from './running-mullion.js';

const fillLimitMs = 460_000;

export async function galleryDemo(): Promise<{ origin: string; stop: () => Promise<void> }> {
  const mullion = await startMullion('--demo');
  try {
    const deadline = Date.now() + fillLimitMs;
    for (;;) {
      const state = await fetch(`${mullion.origin}/v1/state`).catch(() => undefined);
      const said = (await state?.json()) as { mode: string; seeding: unknown } | undefined;
      if (said?.mode === 'ready' && said.seeding === null) break;
      if (Date.now() > deadline) throw new Error(`the demo is not filled: ${JSON.stringify(said)}`);
      await new Promise((resolve) => setTimeout(resolve, 1000));
    }
    await drawTwice(mullion.origin);
    return mullion;
  } catch (error) {
    await mullion.stop();
    throw error;
  }
}

/** Two revisions of one panel, so that there is something to compare, and to print, weigh and rebuild. */
async function drawTwice(origin: string): Promise<void> {
  const json = { 'Content-Type': 'application/json' };
  const entered = await fetch(`${origin}/v1/session`, {
    method: 'POST',
    headers: json,
    body: JSON.stringify({ demoRole: 'Studio head' }),
  });
  const Cookie = entered.headers.getSetCookie()[0]?.split(';')[0] ?? '';
  const place = await fetch(`${origin}/v1/marks/SLM.wI.12b`, { headers: { Cookie } });
  const { panelId } = (await place.json()) as { panelId: string };
  for (const [before, rows, note] of [
    [0, 4, 'lozenges'],
    [1, 5, 'lozenges, as the old photograph has them'],
  ] as const) {
    const sketch = lozengeSketch({
      columns: 3,
      rows,
      widthMm: 246,
      heightMm: 420 / rows,
      faceWidthMm: 5,
      outerFaceMm: 10,
    });
    const answer = await fetch(`${origin}/v1/panels/${panelId}/nets`, {
      method: 'POST',
      headers: {
        ...json,
        Cookie,
        'Idempotency-Key': crypto.randomUUID(),
        'If-Match': `"${before}"`,
      },
      body: JSON.stringify({ sketch, face: 'inside', note }),
    });
    if (!answer.ok) throw new Error(`revision ${before + 1}: ${await answer.text()}`);
  }
}
