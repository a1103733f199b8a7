/** Trials on one home, one after the other: work, strike, up again, ask again, read everything. */
import { setTimeout as sleep } from 'node:timers/promises';
import { checkArchive } from '#libs/archive';
import { storesOf } from '#libs/objects';
import { Client } from '../../support/media-archive.js';
import type { Told } from './act.js';
import { type Chance, chance, pickByShare } from './chance.js';
import { placeIn } from './glazing.js';
import { jobsEnded, roomForJobs } from './jobs.js';
import type { TrialKind } from './kinds.js';
import { LedgerWatch } from './ledger-watch.js';
import { askAnsweredAgain, type Load, retryUnanswered, startLoad } from './load.js';
import { Rig, type RigOptions } from './rig.js';
import { type KindResult, Tally } from './tally.js';

export interface TrialOptions extends RigOptions {
  readonly trials: number;
  readonly seed: number;
  readonly kinds: readonly TrialKind[];
  /** told after each trial */
  readonly onTrial?: (line: string) => void;
}

const PEOPLE = 6;
/** The strike comes after a number of answers, so that a slow machine is struck amid work as well. */
const ANSWERS_MAX = 30;
const WORK_LIMIT_MS = 5000;
/** Of each kind of job as many may wait before people ask for no more of it. */
const PATIENCE = 8;
const LAST = 'everything read again';

/** @returns a row for each kind, and one for the last reading of everything */
export async function runTrials(options: TrialOptions): Promise<readonly KindResult[]> {
  const { trials, seed, kinds, onTrial } = options;
  const rig = await Rig.open(options);
  const tally = new Tally();
  const watch = new LedgerWatch();
  const everybody: Told[] = [];
  try {
    const place = await placeIn(rig.keeper, rig.siteId);
    const client = () => new Client(rig.server.url, rig.keeper.cookie);
    for (let trial = 0; trial < trials; trial++) {
      const began = performance.now();
      const trialSeed = seed + trial;
      const dice = chance(trialSeed);
      const kind = pickKind(kinds, trial, dice.next());
      const name = trialSeed.toString(36);
      const room = await roomForJobs(rig.pool, PATIENCE);
      const load = startLoad(client, place, watch, { people: PEOPLE, dice, name, room });
      await workedFor(load, dice.whole(0, ANSWERS_MAX), dice.whole(0, 60));
      const wrong = await struck(kind, rig, load, dice);
      const atOnce = answeredOf(load.told);
      wrong.push(...(await retryUnanswered(client, load.told, PEOPLE)));
      wrong.push(...(await askAnsweredAgain(client, load.told, dice)));
      everybody.push(...load.told);
      const faults = await watch.check(watched(rig), load.told);
      const row = tally.row(kind.name);
      row.trials += 1;
      row.asked += load.told.length;
      row.atOnce += atOnce;
      row.acknowledged += answeredOf(load.told);
      tally.add(kind.name, `trial ${trialSeed}`, { ...faults, wrong });
      const took = ((performance.now() - began) / 1000).toFixed(1);
      const found = [...Object.values<readonly string[]>({ ...faults }).flat(), ...wrong];
      const verdict = found.length === 0 ? 'all there' : found.join('; ');
      onTrial?.(
        `${trial + 1}/${trials} seed ${trialSeed} ${kind.name}: ${load.told.length} asked, ${took} s, ${verdict}`,
      );
    }
    const last = tally.row(LAST);
    last.asked = everybody.length;
    last.atOnce = last.acknowledged = answeredOf(everybody);
    const jobs = await jobsEnded(rig.pool, everybody);
    tally.add(LAST, 'at the end', { ...jobs });
    if (jobs.wrong.length + jobs.unended.length > 0)
      for (const line of rig.failedJobs()) onTrial?.(line);
    tally.add(LAST, 'at the end', await watch.check(watched(rig), everybody, true));
    tally.add(LAST, "the archive's own check", { inconsistent: await ownCheck(rig) });
    onTrial?.(
      `${watch.objectsRead} objects read, ${watch.checkpointsKept} checkpoints held against the log`,
    );
    return tally.rows;
  } finally {
    await rig.close();
  }
}

const watched = (rig: Rig) => {
  return { pool: rig.pool, objects: rig.objects, publicKeys: rig.publicKeys() };
};

function answeredOf(told: readonly Told[]): number {
  return told.filter(({ state }) => state === 'answered').length;
}

/** @returns what people met, or parts did, that should not have been */
async function struck(kind: TrialKind, rig: Rig, load: Load, dice: Chance): Promise<string[]> {
  const wrong = (await kind.strike(rig, dice)) ?? [];
  wrong.push(...rig.endedByThemselves());
  // people go on for a while against what is no more, as they do
  await sleep(dice.whole(0, 60));
  const stopped = load.stop();
  await rig.up();
  await stopped;
  wrong.push(...((await kind.mend?.(rig)) ?? []));
  return [...wrong, ...load.wrong];
}

/** A second opinion beside the watch's: rows that people read, and objects that jobs made. */
async function ownCheck(rig: Rig): Promise<string[]> {
  const { pool, objects } = rig;
  const { findings } = await checkArchive({
    pool,
    objects,
    stores: storesOf(objects),
    publicKey: rig.publicKeys()[0],
    objectsMode: 'all',
    withProjections: true,
  });
  return findings.map((finding) => JSON.stringify(finding));
}

async function workedFor(load: Load, answers: number, furtherMs: number): Promise<void> {
  const end = performance.now() + WORK_LIMIT_MS;
  while (answeredOf(load.told) < answers && performance.now() < end) await sleep(5);
  await sleep(furtherMs);
}

/** Every kind comes up once before chance decides, so that a short run leaves none out. */
function pickKind(kinds: readonly TrialKind[], trial: number, draw: number): TrialKind {
  return kinds[trial] ?? pickByShare(kinds, ({ share }) => share, draw);
}
