/** Trials on one home, one after the other: work, strike, up again, ask again, read everything. */
import { setTimeout as sleep } from 'node:timers/promises';
import { Client } from '../../support/media-archive.js';
import type { Told } from './act.js';
import { chance } from './chance.js';
import { placeIn } from './glazing.js';
import { unendedJobs } from './jobs.js';
import type { TrialKind } from './kinds.js';
import { LedgerWatch } from './ledger-watch.js';
import { type Load, retryUnanswered, startLoad } from './load.js';
import { Rig, type RigOptions } from './rig.js';

export interface TrialOptions extends RigOptions {
  readonly trials: number;
  readonly seed: number;
  readonly kinds: readonly TrialKind[];
  /** told after each trial */
  readonly onTrial?: (line: string) => void;
}

export interface KindResult {
  readonly kind: string;
  trials: number;
  asked: number;
  /** answered before anybody had to ask again */
  atOnce: number;
  acknowledged: number;
  lost: string[];
  doubled: string[];
  inconsistent: string[];
  /** refusals and failures that people should not have met */
  wrong: string[];
}

const PEOPLE = 6;
/** The strike comes after a number of answers, so that a slow machine is struck amid work as well. */
const ANSWERS_MAX = 40;
const WORK_LIMIT_MS = 5000;
const JOBS_LIMIT_MS = 600_000;

/** @returns a row for each kind, and one for the last reading of everything */
export async function runTrials(options: TrialOptions): Promise<KindResult[]> {
  const { trials, seed, kinds, onTrial } = options;
  const rig = await Rig.open(options);
  const results = new Map<string, KindResult>();
  const watch = new LedgerWatch();
  const everybody: Told[] = [];
  try {
    const place = await placeIn(rig.keeper, rig.siteId);
    const publicKey = await publicKeyOf(rig.keeper);
    for (let trial = 0; trial < trials; trial++) {
      const trialSeed = seed + trial;
      const dice = chance(trialSeed);
      const kind = pickKind(kinds, trial, dice.next());
      const result = rowOf(results, kind.name);
      const client = () => new Client(rig.server.url, rig.keeper.cookie);
      const load = startLoad(client, place, watch, {
        people: PEOPLE,
        dice,
        name: trialSeed.toString(36),
      });
      await workedFor(load, dice.whole(0, ANSWERS_MAX), dice.whole(0, 60));
      const struck = (await kind.strike(rig, dice)) ?? [];
      if (kind.endsServer !== true && !rig.server.isRunning()) {
        struck.push(`the server ended by itself: ${rig.server.lastWords().slice(-600)}`);
      }
      // people go on for a while against what is no more, as they do
      await sleep(dice.whole(0, 60));
      const stopped = load.stop();
      await rig.up();
      await stopped;
      const atOnce = load.told.filter((one) => one.state === 'answered').length;
      const wrong = [...struck, ...load.wrong, ...(await retryUnanswered(client, load.told))];
      everybody.push(...load.told);
      const faults = await watch.check(rig.pool, rig.objects, load.told, publicKey);
      result.trials += 1;
      result.asked += load.told.length;
      result.acknowledged += load.told.filter((one) => one.state === 'answered').length;
      result.atOnce += atOnce;
      const said = (list: readonly string[]) => list.map((line) => `trial ${trialSeed}: ${line}`);
      result.lost.push(...said(faults.lost));
      result.doubled.push(...said(faults.doubled));
      result.inconsistent.push(...said(faults.inconsistent));
      result.wrong.push(...said(wrong));
      onTrial?.(`${trial + 1}/${trials} seed ${trialSeed} ${kind.name}: ${load.told.length} asked`);
    }
    const last = rowOf(results, 'everything read again');
    last.wrong.push(...(await unendedJobs(rig.pool, JOBS_LIMIT_MS)));
    const faults = await watch.check(rig.pool, rig.objects, everybody, publicKey, true);
    last.trials = 1;
    last.asked = everybody.length;
    last.atOnce = last.acknowledged = everybody.filter((one) => one.state === 'answered').length;
    Object.assign(last, faults);
    onTrial?.(
      `${watch.objectsRead} objects read, ${watch.checkpointsKept} checkpoints held against the log`,
    );
    return [...results.values()];
  } finally {
    await rig.close();
  }
}

async function workedFor(load: Load, answers: number, furtherMs: number): Promise<void> {
  const end = performance.now() + WORK_LIMIT_MS;
  const answered = () => load.told.filter(({ state }) => state === 'answered').length;
  while (answered() < answers && performance.now() < end) await sleep(5);
  await sleep(furtherMs);
}

/** Every kind comes up once before chance decides, so that a short run leaves none out. */
function pickKind(kinds: readonly TrialKind[], trial: number, draw: number): TrialKind {
  if (trial < kinds.length) return kinds[trial]!;
  let left = draw * kinds.reduce((sum, { share }) => sum + share, 0);
  for (const kind of kinds) {
    left -= kind.share;
    if (left < 0) return kind;
  }
  return kinds[0]!;
}

function rowOf(results: Map<string, KindResult>, kind: string): KindResult {
  const row = results.get(kind) ?? {
    kind,
    trials: 0,
    asked: 0,
    atOnce: 0,
    acknowledged: 0,
    lost: [],
    doubled: [],
    inconsistent: [],
    wrong: [],
  };
  results.set(kind, row);
  return row;
}

async function publicKeyOf(keeper: Client): Promise<Uint8Array> {
  const { body } = await keeper.json<{ verifierKey: { publicKey: string } }>('GET', '/v1/logs');
  return new Uint8Array(Buffer.from(body.verifierKey.publicKey, 'base64'));
}
