/** A phone, an archive that can be killed, and photographs with known digests. */
import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import sharp from 'sharp';
import { freePort } from '../../support/free-port.js';
import { type RunningMullion, runMullion } from '../../support/running-mullion.js';
import { type DrawnPanel, drawnPanel } from './drawn-panel.js';

export interface Photograph {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
  /** `sha256:<hex>`, computed here by Node */
  readonly digest: string;
}

/** Small pictures that differ from one another; each holds its number as noise. */
export async function photographs(count: number, first = 0): Promise<Photograph[]> {
  return Promise.all(
    Array.from({ length: count }, async (_, index) => {
      const n = first + index;
      const [width, height] = [48, 36];
      const data = Buffer.alloc(width * height * 3);
      let state = n + 1;
      for (let i = 0; i < data.length; i++) {
        state = (Math.imul(1664525, state) + 1013904223) >>> 0;
        data[i] = 40 + (state >>> 24) * 0.7;
      }
      const buffer = await sharp(data, { raw: { width, height, channels: 3 } })
        .jpeg({ quality: 80 })
        .toBuffer();
      return photograph(`shot-${n}.jpg`, buffer);
    }),
  );
}

export function photograph(name: string, buffer: Buffer): Photograph {
  const digest = `sha256:${createHash('sha256').update(buffer).digest('hex')}`;
  return { name, mimeType: 'image/jpeg', buffer, digest };
}

export interface Workshop {
  readonly panel: DrawnPanel;
  readonly origin: string;
  /** the server is killed outright; the same archive starts again at the same address */
  killAndRestart(): Promise<void>;
  kill(): Promise<void>;
  start(): Promise<void>;
  stop(): Promise<void>;
}

/** An archive with one panel and nothing drawn. */
export async function openWorkshop(
  environment: Record<string, string> = {},
  args: readonly string[] = [],
): Promise<Workshop> {
  const home = mkdtempSync(join(tmpdir(), 'mullion-phone-'));
  const port = await freePort();
  const run = () => runMullion(home, ['--port', String(port), ...args], environment);
  let mullion: RunningMullion = await run();
  const panel = await drawnPanel(
    {
      home,
      origin: mullion.origin,
      welcome: `${mullion.origin}/#welcome=${mullion.token}`,
      stop: () => Promise.resolve(),
    },
    null,
  );
  const kill = async () => {
    process.kill(mullion.pidOf('server'), 'SIGKILL');
    await mullion.untilGone();
  };
  const start = async () => {
    mullion = await run();
  };
  return {
    panel,
    origin: mullion.origin,
    kill,
    start,
    async killAndRestart() {
      await kill();
      await start();
    },
    async stop() {
      await mullion.stop();
      rmSync(home, { recursive: true, force: true });
    },
  };
}

/** The phone's page for a panel, with the job stated. */
export async function openPhone(
  context: BrowserContext,
  { origin, panel }: Workshop,
): Promise<Page> {
  await panel.enter(context);
  const page = await context.newPage();
  page.setDefaultTimeout(30_000);
  await page.goto(`${origin}/phone?mark=${panel.mark}`);
  await page.getByLabel('Panel', { exact: true }).waitFor();
  await page.getByRole('button', { name: 'To the camera' }).click();
  await page.getByText('transmitted light, inside').first().waitFor();
  return page;
}

/** Hands pictures over as the phone's camera or its picture chooser does, and waits until they lie there. */
export async function take(page: Page, pictures: readonly Photograph[]): Promise<void> {
  const chooser = page.locator('.shutter input[multiple]');
  await chooser.setInputFiles(
    pictures.map(({ name, mimeType, buffer }) => ({ name, mimeType, buffer })),
  );
  await page.getByText(/^writing down/).waitFor({ state: 'detached', timeout: 300_000 });
}

/** What the page says of its queue. */
export async function counts(page: Page): Promise<{ here: number; proven: number }> {
  const line = page.locator('[data-here]');
  await line.waitFor();
  return {
    here: Number(await line.getAttribute('data-here')),
    proven: Number(await line.getAttribute('data-proven')),
  };
}

export async function untilNothingIsOnlyHere(page: Page, timeoutMs: number): Promise<void> {
  await page
    .getByRole('heading', { name: 'No picture lies only here' })
    .waitFor({ timeout: timeoutMs });
}

/**
 * Digests of every picture of the panel's site, one for each record, out of its history: the panel's own
 * answer ends with the newest 500.
 */
export async function digestsInArchive({ siteId, keeper }: DrawnPanel): Promise<string[]> {
  const digests: string[] = [];
  for (let from: string | null = '0'; from !== null; ) {
    const { items, next }: { items: { bytes: string }[]; next: string | null } = await keeper.ask(
      `/v1/logs/${siteId}/entries?from=${from}&limit=500&typeStart=media.attach`,
    );
    for (const { bytes } of items) {
      const { objects } = JSON.parse(Buffer.from(bytes, 'base64').toString()) as {
        objects: { digest: string; role: string }[];
      };
      digests.push(
        ...objects.filter(({ role }) => role === 'original').map(({ digest }) => digest),
      );
    }
    from = next;
  }
  return digests;
}

/** The page would open without a line from here on. */
export async function untilShellIsKept(page: Page): Promise<void> {
  await page.getByText('This page opens without a line.').waitFor();
  const deadline = Date.now() + 30_000;
  while (!(await page.evaluate<boolean>('navigator.serviceWorker.controller !== null'))) {
    if (Date.now() > deadline) throw new Error('the service worker took no page over');
    await page.waitForTimeout(100);
  }
}
