/**
 * How long a person waits for the picture after an act, as the browser itself times it (Event Timing,
 * W3C): of each interaction the longest of its events, from the input to the paint that follows.
 */
import type { Page } from 'playwright-core';

export interface Interaction {
  /** 'pointerup', 'keydown' */
  readonly name: string;
  readonly waitedMs: number;
}

/** Interactions while `act` goes on. */
export async function interactionsOf(
  page: Page,
  act: () => Promise<void>,
): Promise<readonly Interaction[]> {
  await page.evaluate(`(() => {
    const longest = new Map();
    // 16 ms is the least that browsers tell of; what took less is not there, and would lower the quantile
    globalThis.actsWatch = new PerformanceObserver((list) => {
      for (const { interactionId, name, duration } of list.getEntries()) {
        if (!interactionId) continue;
        const known = longest.get(interactionId);
        if (!known || known.waitedMs < duration) longest.set(interactionId, { name, waitedMs: duration });
      }
    });
    globalThis.actsLongest = longest;
    globalThis.actsWatch.observe({ type: 'event', durationThreshold: 16 });
  })()`);
  await act();
  await page.waitForTimeout(1000);
  return page.evaluate<Interaction[]>(`(() => {
    globalThis.actsWatch.disconnect();
    return [...globalThis.actsLongest.values()];
  })()`);
}
