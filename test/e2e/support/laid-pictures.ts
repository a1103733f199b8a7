/** Pictures of a drawn panel for tests of the bench: made here, sent, and laid under the drawing. */
import sharp from 'sharp';
import type { DrawnPanel } from './drawn-panel.js';

const PX_PER_MM = 2;
/** Round the panel the picture shows a little of the table. */
const AROUND_MM = 20;

export interface PictureLight {
  readonly light: 'transmitted' | 'reflected' | 'raking';
  readonly clockHour?: number;
  /** colour of the glass, so that a test knows which picture it sees */
  readonly colour: string;
}

/** Sends a picture of lozenges, 100 × 140 mm, and lays it; answers when it can be seen. */
export async function layPicture(
  panel: DrawnPanel,
  [widthMm, heightMm]: readonly [number, number],
  { light, clockHour, colour }: PictureLight,
): Promise<string> {
  const { keeper, siteId, panelId, mark } = panel;
  const px = (mm: number) => (mm + AROUND_MM) * PX_PER_MM;
  const [width, height] = [px(widthMm + AROUND_MM), px(heightMm + AROUND_MM)];
  const angle = ((clockHour ?? 12) / 6) * Math.PI;
  const [lampX, lampY] = [0.5 + 0.5 * Math.sin(angle), 0.5 - 0.5 * Math.cos(angle)];
  const lines = Array.from({ length: 40 }, (_, i) => {
    const at = (i - 20) * 100;
    return `<path d="M${px(at)} ${px(0)}l${14000 / 10} ${(14000 * 1.4) / 10}M${px(at)} ${px(0)}l-${14000 / 10} ${(14000 * 1.4) / 10}" stroke="#222" stroke-width="12"/>`;
  }).join('');
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">
    <defs><radialGradient id="lamp" cx="${lampX}" cy="${lampY}" r="1"><stop offset="0" stop-color="#fff"/>
    <stop offset="1" stop-color="#000"/></radialGradient></defs>
    <rect width="100%" height="100%" fill="#0d0d0d"/>
    <rect x="${px(0)}" y="${px(0)}" width="${widthMm * PX_PER_MM}" height="${heightMm * PX_PER_MM}" fill="${colour}"/>
    ${lines}<rect width="100%" height="100%" fill="url(#lamp)" opacity="${light === 'raking' ? 0.35 : 0}"/></svg>`;
  const bytes = await sharp(Buffer.from(svg)).flatten({ background: '#000' }).jpeg().toBuffer();
  const said = new URLSearchParams({
    fileName: `${light}${clockHour ?? ''}.jpg`,
    kind: 'photograph',
    light,
    ...(clockHour === undefined ? {} : { clockHour: String(clockHour) }),
    face: 'inside',
    stage: 'before',
    subjects: mark,
  });
  const { mediaId } = await keeper.send<{ mediaId: string }>(
    `/v1/sites/${siteId}/media?${said.toString()}`,
    bytes,
    'image/jpeg',
  );
  const corners = [
    [0, 0],
    [widthMm, 0],
    [widthMm, heightMm],
    [0, heightMm],
  ] as const;
  await keeper.put(`/v1/panels/${panelId}/placements/${mediaId}`, {
    points: corners.map(([x, y]) => ({ imageXyPx: [px(x), px(y)], panelXyMm: [x, y] })),
  });
  const deadline = Date.now() + 60_000;
  while (!(await isReady(panel, mediaId))) {
    if (Date.now() > deadline) throw new Error(`the picture ${mediaId} was not made ready`);
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  return mediaId;
}

async function isReady(panel: DrawnPanel, mediaId: string): Promise<boolean> {
  const { media } = await panel.ask<{ media: { mediaId: string; pyramid: string }[] }>('');
  return media.some((one) => one.mediaId === mediaId && one.pyramid === 'ready');
}
