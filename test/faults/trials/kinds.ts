/** What is done to the archive in a trial. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { Chance } from './chance.js';
import type { FaultProxy, LineFault } from './fault-proxy.js';
import type { Rig } from './rig.js';
import type { SmallDisk } from './small-disk.js';

export interface TrialKind {
  readonly name: string;
  /** part of all trials */
  readonly share: number;
  /**
   * Done while people work; the archive is brought up again afterwards. Server and worker must outlive
   * it where the rig does not kill them.
   * @returns what was answered that should not have been
   */
  strike(rig: Rig, dice: Chance): Promise<string[]> | Promise<void>;
  /** What somebody does once everything is up again; returns what did not come right. */
  mend?(rig: Rig): Promise<string[]>;
}

export const KILLS: readonly TrialKind[] = [
  { name: 'server killed', share: 9, strike: (rig) => rig.killServer() },
  { name: 'worker killed', share: 3, strike: (rig) => rig.killWorker() },
  { name: 'database killed', share: 4, strike: (rig) => rig.killDatabase() },
  {
    name: 'database restarted under a living server',
    share: 2,
    async strike(rig) {
      await rig.database.stop();
    },
  },
  {
    name: 'everything killed at once',
    share: 2,
    async strike(rig) {
      await Promise.all([rig.killDatabase(), rig.killServer(), rig.killWorker()]);
    },
  },
  {
    name: 'server frozen, then killed',
    share: 1,
    async strike(rig, dice) {
      rig.server.send('SIGSTOP');
      await sleep(dice.whole(50, 400));
      await rig.killServer();
    },
  },
];

const HOUR_MS = 3_600_000;

export const OTHER: readonly TrialKind[] = [
  {
    name: 'clock set back an hour, then right',
    share: 1,
    async strike(rig, dice) {
      rig.setClock(-HOUR_MS);
      await sleep(dice.whole(100, 500));
      rig.setClock(0);
      await sleep(dice.whole(50, 200));
    },
  },
  { name: 'a poison command among 64', share: 1, strike: poison },
];

/** Sixty-three people and one whose text no database takes: the others must not notice. */
async function poison(rig: Rig, dice: Chance): Promise<string[]> {
  const at = dice.whole(0, 63);
  const batch = dice.whole(0, 2 ** 31);
  const statuses = await Promise.all(
    Array.from({ length: 64 }, async (_, i) => {
      const text = i === at ? `poison\u0000${batch}` : `among ${batch}-${i}`;
      const { status } = await rig.keeper.json('POST', `/v1/sites/${rig.siteId}/aliases`, {
        mark: 'SLM.wI',
        scheme: 'count of the survey',
        text,
        source: 'trial',
      });
      return status;
    }),
  );
  return statuses.flatMap((status, i) => {
    const isAsItShould = i === at ? status >= 400 && status < 500 : status === 201;
    return isAsItShould
      ? []
      : [`${i === at ? 'the poison' : `number ${i}`} was answered ${status}`];
  });
}

/** For a rig on a disk of its own. */
export function diskKinds(disk: SmallDisk): TrialKind[] {
  return [
    {
      name: 'disk full, then room again',
      share: 1,
      async strike(_rig, dice) {
        disk.fill();
        await sleep(dice.whole(200, 800));
        disk.free();
      },
    },
    {
      name: 'disk full, server killed, room again',
      share: 1,
      async strike(rig, dice) {
        disk.fill();
        await sleep(dice.whole(100, 500));
        await rig.killServer();
        disk.free();
      },
    },
  ];
}

/** For a rig whose objects lie behind the proxy. */
export function lineKinds(proxy: FaultProxy): TrialKind[] {
  const faults: LineFault[] = ['frozen', 'refused', 'slow', 'error-500', 'truncated'];
  return faults.map((fault) => ({
    name: `object store: ${fault}`,
    share: 1,
    async strike(rig, dice) {
      proxy.set(fault);
      await sleep(dice.whole(200, 1500));
      if (dice.next() < 0.3) await rig.killServer();
      proxy.set('none');
    },
  }));
}
