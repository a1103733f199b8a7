/** People at work: each asks one thing after another until told to stop, and remembers what was answered. */
import type { Client } from '../../support/media-archive.js';
import { type ActKind, madeAct, type Place, type Told } from './act.js';
import type { Chance } from './chance.js';
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

export function startLoad(
  client: () => Client,
  place: Place,
  watch: LedgerWatch,
  { people, dice, name }: { people: number; dice: Chance; name: string },
): Load {
  const told: Told[] = [];
  const wrong: string[] = [];
  let isOver = false;
  let count = 0;
  const person = async () => {
    while (!isOver) {
      count += 1;
      const act = madeAct(pickKind(dice), `tok-${name}-${count}`, place, dice);
      told.push(act);
      await act.again(client()).catch((error: unknown) => {
        if (act.state === 'refused') wrong.push((error as Error).message);
      });
    }
  };
  const reader = async () => {
    while (!isOver) {
      for (const logId of ['studio', place.siteId]) {
        const note = await client()
          .fetch(`/v1/logs/${logId}/checkpoint`)
          .then((answer) => (answer.status === 200 ? answer.text() : ''))
          .catch(() => '');
        watch.handedOut(logId, note);
      }
      await new Promise((resolve) => setTimeout(resolve, 40));
    }
  };
  const all = Promise.all([...Array.from({ length: people }, person), reader()]);
  return {
    told,
    wrong,
    async stop() {
      isOver = true;
      await all;
    },
  };
}

function pickKind(dice: Chance): ActKind {
  let left = dice.next() * MIX.reduce((sum, [, part]) => sum + part, 0);
  for (const [kind, part] of MIX) {
    left -= part;
    if (left < 0) return kind;
  }
  return 'alias';
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

/** Everything unanswered is asked again, as a phone does that found its network. */
export async function retryUnanswered(
  client: () => Client,
  told: readonly Told[],
): Promise<string[]> {
  const wrong: string[] = [];
  const open = told.filter(({ state }) => state === 'unanswered');
  for (const act of open) {
    for (let tries = 1; act.state === 'unanswered'; tries++) {
      try {
        await act.again(client());
      } catch (error) {
        // a kept connection of the killed server breaks once; what goes on failing is wrong
        if (tries === TRIES) {
          wrong.push(`${act.kind} ${act.token}: ${(error as Error).message}`);
          break;
        }
        await new Promise((resolve) => setTimeout(resolve, 100 * tries));
      }
    }
  }
  return wrong;
}
