/** The bar of the phone: pictures taken without a line, sent through troubles, none lost, none doubled. */
import type { BrowserContext, Page } from 'playwright-core';
import {
  counts,
  digestsInArchive,
  openPhone,
  photographs,
  take,
  untilNothingIsOnlyHere,
  untilShellIsKept,
  type Workshop,
} from './phone.js';

export interface TroublesReport {
  readonly taken: number;
  readonly troubles: Readonly<Record<'disconnect' | 'reload' | 'kill', number>>;
  /** taken, but not in the archive at the end */
  readonly lost: readonly string[];
  /** records in the archive beyond one for each picture */
  readonly doubled: number;
  /** pictures that the page proved at the end */
  readonly proven: number;
}

const AT_ONCE = 50;

/**
 * @param seed of the order of troubles
 * @param kills how many of the troubles end the server; each costs a start of the whole program
 */
export async function throughTroubles(
  workshop: Workshop,
  context: BrowserContext,
  { pictures, troubles, kills, seed }: Record<'pictures' | 'troubles' | 'kills' | 'seed', number>,
): Promise<TroublesReport> {
  const chance = chances(seed);
  const page = await openPhone(context, workshop);
  await untilShellIsKept(page);
  await context.setOffline(true);
  const taken = await photographs(pictures);
  for (let from = 0; from < pictures; from += AT_ONCE)
    await take(page, taken.slice(from, from + AT_ONCE));
  const before = await counts(page);
  if (before.here !== pictures)
    throw new Error(`${before.here} of ${pictures} lie on the phone before anything was sent`);

  const done = { disconnect: 0, reload: 0, kill: 0 };
  await context.setOffline(false);
  for (let turn = 0; turn < troubles; turn++) {
    const { proven } = await counts(page);
    // troubles come while pictures are on their way, spread over the whole queue
    const goal = Math.min(
      pictures - 1,
      Math.floor((pictures * (turn + chance())) / (troubles + 1)),
    );
    if (proven < goal) await untilProven(page, goal);
    const isKill =
      Math.floor(((turn + 1) * kills) / troubles) > Math.floor((turn * kills) / troubles);
    const kind = isKill ? 'kill' : chance() < 0.5 ? 'disconnect' : 'reload';
    done[kind]++;
    if (kind === 'kill') await workshop.killAndRestart();
    else if (kind === 'reload') await page.reload();
    else {
      await context.setOffline(true);
      await page.waitForTimeout(200 + 600 * chance());
      await context.setOffline(false);
    }
  }
  await untilNothingIsOnlyHere(page, 1000 * pictures + 120_000);
  const there = await digestsInArchive(workshop.panel);
  return {
    taken: pictures,
    troubles: done,
    lost: taken.filter(({ digest }) => !there.includes(digest)).map(({ name }) => name),
    doubled: there.length - new Set(there).size,
    proven: (await counts(page)).proven,
  };
}

async function untilProven(page: Page, count: number): Promise<void> {
  const deadline = Date.now() + 180_000;
  while ((await counts(page)).proven < count) {
    if (Date.now() > deadline) throw new Error(`fewer than ${count} were proven in three minutes`);
    await page.waitForTimeout(100);
  }
}

/** A fixed sequence of chances (Numerical Recipes' constants, from memory). */
function chances(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(1664525, state) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
