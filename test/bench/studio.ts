/** `npm run bench:studio`: the bars of the screens. `-- --only phone [--pictures N --troubles N --kills N --seed N]` */
import { parseArgs } from 'node:util';
import { openBrowser, sizes } from '../e2e/support/browser.js';
import { openWorkshop } from '../e2e/support/phone.js';
import { throughTroubles } from '../e2e/support/phone-troubles.js';

const { values } = parseArgs({
  options: {
    only: { type: 'string' },
    pictures: { type: 'string', default: '1000' },
    troubles: { type: 'string', default: '50' },
    kills: { type: 'string', default: '12' },
    seed: { type: 'string', default: '1' },
  },
});

/** 1,000 photographs without a line, then 50 disconnects, reloads and kills: none lost, none doubled. */
async function phone(): Promise<boolean> {
  const [workshop, browser] = await Promise.all([openWorkshop(), openBrowser()]);
  const cpu = process.cpuUsage();
  try {
    const context = await browser.newContext({
      viewport: sizes.phone,
      hasTouch: true,
      isMobile: true,
    });
    const report = await throughTroubles(workshop, context, {
      pictures: Number(values.pictures),
      troubles: Number(values.troubles),
      kills: Number(values.kills),
      seed: Number(values.seed),
    });
    const { taken, troubles, lost, doubled, proven } = report;
    const said = Object.entries(troubles).map(([kind, count]) => `${count} × ${kind}`);
    console.log(`phone      ${taken} pictures taken without a line, then ${said.join(', ')}`);
    console.log(`           lost ${lost.length}, doubled ${doubled}, proven in the page ${proven}`);
    for (const name of lost) console.log(`           lost: ${name}`);
    return lost.length === 0 && doubled === 0 && proven === taken;
  } finally {
    await browser.close();
    await workshop.stop();
    const { user, system } = process.cpuUsage(cpu);
    console.log(`           ${((user + system) / 1e6).toFixed(1)} s of CPU in this script`);
  }
}

const bars: Readonly<Record<string, () => Promise<boolean>>> = { phone };
const chosen = values.only === undefined ? Object.keys(bars) : values.only.split(',');
let holds = true;
for (const name of chosen) {
  const bar = bars[name];
  if (bar === undefined)
    throw new Error(`--only ${name}: choose from ${Object.keys(bars).join(', ')}`);
  holds = (await bar()) && holds;
}
process.exitCode = holds ? 0 : 1;
