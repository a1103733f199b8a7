/**
 * What custody finds out of order. No flag names a place or a person: flags are read by whoever may
 * read the record.
 */
import {
  type Arrival,
  CUSTODY_CONDITION_WORDS,
  CustodyLedger,
  panelMarkOf,
  readThing,
} from '#libs/custody';
import type { CommandContext } from '../command.js';
import { type FlagSeed, type RaisedFlag, raiseFlags } from '../flags.js';
import type { Tx } from '../tx.js';
import { campaignOf } from '../works/judge-work.js';
import type { SeenThing } from './custody-body.js';
import { custodyFacts } from './custody-facts.js';

/** A flag before anybody knows whose campaign it is. */
export type CustodySeed = Omit<FlagSeed, 'campaignId'>;

/** Under the campaign that works on the marks, when there is one. */
export async function raiseInCampaign(
  ctx: CommandContext,
  { siteId, happened }: { readonly siteId: string; readonly happened: string | null },
  seeds: readonly CustodySeed[],
): Promise<RaisedFlag[]> {
  const day = happened ?? ctx.now.toISOString().slice(0, 10);
  const flags: FlagSeed[] = [];
  for (const seed of seeds) {
    const work = { siteId, subjects: [seed.subject], happened: day };
    flags.push({ ...seed, campaignId: await campaignOf(ctx.tx, work, undefined) });
  }
  return raiseFlags(ctx, flags);
}

/** What was seen broken or missing between two ends of a way. */
export function worseOnTheWay(
  things: readonly Pick<Arrival, 'key' | 'departed' | 'arrived' | 'isWorse'>[],
  from: string,
  to: string,
): CustodySeed[] {
  return things.flatMap(({ key, departed, arrived, isWorse }): CustodySeed[] => {
    if (!isWorse || arrived === null) return [];
    const subject = readThing(key).mark;
    if (arrived === 'broken')
      return [{ kind: 'broken-in-transit', subject, said: { what: key, from, to } }];
    if (arrived === 'missing')
      return [
        {
          kind: 'piece-missing',
          subject,
          said: { piece: key, where: `not there when ${to} looked` },
        },
      ];
    const left = CUSTODY_CONDITION_WORDS[departed ?? 'sound'];
    const said = { left, arrived: CUSTODY_CONDITION_WORDS[arrived] };
    return [{ kind: 'condition-differs', subject, said }];
  });
}

/** As {@link worseOnTheWay}, of what was seen once: all that is not sound came about on the way. */
export const brokenOnTheWay = (seen: readonly SeenThing[], from: string, to: string) =>
  worseOnTheWay(
    seen.map(({ key, condition }) => ({
      key,
      departed: null,
      arrived: condition,
      isWorse: condition !== 'sound',
    })),
    from,
    to,
  );

/** Pieces of a panel that went by themselves and are not back with it. */
export async function piecesAway(
  tx: Tx,
  siteId: string,
  panelMark: string,
): Promise<CustodySeed[]> {
  const ledger = new CustodyLedger(await custodyFacts(tx, siteId, [panelMark]));
  return ledger.keys.flatMap((key): CustodySeed[] => {
    const { mark, sample } = readThing(key);
    if (sample !== null || mark === panelMark || panelMarkOf(mark) !== panelMark) return [];
    const { own, at } = ledger.where(key);
    if (own?.things.includes(key) !== true || at?.kind === 'bench') return [];
    const where = `${at?.kind === 'holder' ? `with the ${at.role}` : 'elsewhere'} since ${own.day}`;
    return [{ kind: 'piece-missing', subject: mark, said: { piece: key, where } }];
  });
}
