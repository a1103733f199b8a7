/** People at work: each asks one thing after another until told to stop, and remembers what was answered. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { Client } from '../../support/media-archive.js';
import { type ActKind, isWordless, type JobAct, madeAct, type Place, type Told } from './act.js';
import { type Chance, pickByShare } from './chance.js';
import type { LedgerWatch } from './ledger-watch.js';

export interface Load {
  readonly told: readonly Told[];
  /** what the archive answered that it should never answer */
  readonly wrong: readonly string[];
  stop(): Promise<void>;
}

/** How often each thing is asked, as parts of the whole. */
const MIX: readonly (readonly [ActKind, number])[] = [
  ['alias', 8],
  ['finding', 8],
  ['document', 2],
  ['photograph', 1],
  ['upload', 3],
  ['dossier', 0.1],
  ['extraction', 0.05],
];

/** As many are asked as fast as they are answered; then people take a breath, else a long strike drowns in what they ask. */
const QUICK_ACTS = 120;
const BREATH_MS = [200, 600] as const;
/** How long somebody waits whose archive does not answer, before the next thing is asked. */
const PAUSE_MS = [50, 250] as const;

export interface LoadOptions {
  readonly people: number;
  readonly dice: Chance;
  readonly name: string;
  /** how many jobs of each kind are still asked for; then people do other things */
  readonly room: Readonly<Record<JobAct, number>>;
}

export function startLoad(
  client: () => Client,
  place: Place,
  watch: LedgerWatch,
  { people, dice, name, room }: LoadOptions,
): Load {
  const left = { ...room };
  const told: Told[] = [];
  const wrong: string[] = [];
  const over = new AbortController();
  const pause = (ms: number) =>
    sleep(ms, undefined, { signal: over.signal }).catch(() => undefined);
  let count = 0;
  const person = async () => {
    while (!over.signal.aborted) {
      count += 1;
      const act = madeAct(pickKind(dice, left), `tok-${name}-${count}`, place, dice);
      told.push(act);
      try {
        await act.again(client());
        if (told.length > QUICK_ACTS) await pause(dice.whole(...BREATH_MS));
      } catch (error) {
        if (act.state === 'refused') wrong.push((error as Error).message);
        else await pause(dice.whole(...PAUSE_MS));
      }
    }
  };
  const reader = async () => {
    while (!over.signal.aborted) {
      for (const logId of ['studio', place.siteId]) {
        const note = await client()
          .fetch(`/v1/logs/${logId}/checkpoint`)
          .then((answer) => (answer.status === 200 ? answer.text() : ''))
          .catch(() => '');
        watch.handedOut(logId, note);
      }
      await pause(40);
    }
  };
  const all = Promise.all([...Array.from({ length: people }, person), reader()]);
  return {
    told,
    wrong,
    async stop() {
      over.abort();
      await all;
    },
  };
}

/** @param left of jobs; one is taken away for each that is picked */
function pickKind(dice: Chance, left: Record<JobAct, number>): ActKind {
  const kind = pickByShare(MIX, ([, part]) => part, dice.next())[0];
  if (!isWordless(kind)) return kind;
  if (left[kind] === 0) return 'alias';
  left[kind] -= 1;
  return kind;
}

const TRIES = 4;
const ASKED_TWICE = 4;

/** Some of what was answered is asked again with the same key: the answer must be the same entry. */
export async function askAnsweredAgain(
  client: () => Client,
  told: readonly Told[],
  dice: Chance,
): Promise<string[]> {
  const answered = told.filter(({ state, entry }) => state === 'answered' && entry !== undefined);
  const wrong: string[] = [];
  for (let i = 0; i < Math.min(ASKED_TWICE, answered.length); i++) {
    await dice
      .pick(answered)
      .again(client())
      .catch((error: unknown) => wrong.push(`asked twice: ${(error as Error).message}`));
  }
  return wrong;
}

/** Everything unanswered is asked again, as phones do that found their network: several at once. */
export async function retryUnanswered(
  client: () => Client,
  told: readonly Told[],
  people: number,
): Promise<string[]> {
  const wrong: string[] = [];
  const open = told.filter(({ state }) => state === 'unanswered');
  const person = async () => {
    for (let act = open.shift(); act !== undefined; act = open.shift()) {
      const failed = await retried(client, act);
      if (failed !== undefined) wrong.push(failed);
    }
  };
  await Promise.all(Array.from({ length: people }, person));
  return wrong;
}

/** A kept connection of the killed server breaks once; what goes on failing is wrong. */
async function retried(client: () => Client, act: Told): Promise<string | undefined> {
  for (let tries = 1; ; tries++) {
    try {
      await act.again(client());
      return undefined;
    } catch (error) {
      if (act.state === 'refused' || tries === TRIES)
        return `${act.kind} ${act.token}: ${(error as Error).message}`;
      await sleep(100 * tries);
    }
  }
}
