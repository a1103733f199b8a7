import { openBrowser, sizes } from '../../e2e/support/browser.js';
import { openWorkshop } from '../../e2e/support/phone.js';
import { throughTroubles } from '../../e2e/support/phone-troubles.js';
import type { BarRow } from './bar-row.js';

export interface PhoneTroubles {
  readonly pictures: number;
  readonly troubles: number;
  readonly kills: number;
  readonly seed: number;
}

/** 1,000 photographs without a line, then 50 disconnects, reloads and kills: none lost, none doubled. */
export async function phoneBars(given: PhoneTroubles): Promise<readonly BarRow[]> {
  const [workshop, browser] = await Promise.all([openWorkshop(), openBrowser()]);
  const cpu = process.cpuUsage();
  try {
    const context = await browser.newContext({
      viewport: sizes.phone,
      hasTouch: true,
      isMobile: true,
    });
    const report = await throughTroubles(workshop, context, given);
    const { taken, troubles, lost, doubled, proven } = report;
    const said = Object.entries(troubles).map(([kind, count]) => `${count} × ${kind}`);
    console.log(`phone      ${taken} pictures taken without a line, then ${said.join(', ')}`);
    console.log(`           lost ${lost.length}, doubled ${doubled}, proven in the page ${proven}`);
    for (const name of lost) console.log(`           lost: ${name}`);
    return [
      {
        what: `photographs lost, of ${taken} through ${given.troubles} troubles`,
        measured: lost.length,
        most: 0,
      },
      { what: 'photographs doubled', measured: doubled, most: 0 },
      { what: 'photographs that the page proved', measured: proven, least: taken },
    ];
  } finally {
    await browser.close();
    await workshop.stop();
    const { user, system } = process.cpuUsage(cpu);
    console.log(`           ${((user + system) / 1e6).toFixed(1)} s of CPU in this script`);
  }
}
