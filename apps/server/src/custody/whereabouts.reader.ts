import { Inject, Injectable } from '@nestjs/common';
import { custodyFacts, type FactsAsOf, Tx } from '#libs/archive';
import {
  type CustodyFact,
  CustodyLedger,
  chainOfCustody,
  panelMarkOf,
  readThing,
} from '#libs/custody';
import type { PgPool } from '#libs/db';
import { POOL } from '../platform/tokens.js';
import { type Names, type WhereAnswer, whereView } from './where-answer.js';

const NOW: FactsAsOf = { until: null, knownPlace: null };

/** Everything that was said of where the things of a site are, and what the ids in it stand for. */
export interface SiteCustody {
  readonly facts: readonly CustodyFact[];
  readonly ledger: CustodyLedger;
  readonly names: Names;
}

/** "Where is 3c now?" */
@Injectable()
export class WhereaboutsReader {
  readonly #tx: Tx;

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  /** @param panelMarks full marks of the panels whose state of work counts too */
  async ofSite(
    siteId: string,
    panelMarks: readonly string[],
    asOf: FactsAsOf = NOW,
  ): Promise<SiteCustody> {
    const [facts, crates, holders] = await Promise.all([
      custodyFacts(this.#tx, siteId, panelMarks, asOf),
      this.#tx.query<{ crateId: string; mark: string }>(
        'SELECT crate_id, mark FROM crate WHERE site_id = $1',
        [siteId],
      ),
      this.#tx.query<{ movementId: string; holderName: string }>(
        'SELECT movement_id, holder_name FROM movement WHERE site_id = $1 AND holder_name IS NOT NULL',
        [siteId],
      ),
    ]);
    return {
      facts,
      ledger: new CustodyLedger(facts),
      names: {
        crateMarks: new Map(crates.map(({ crateId, mark }) => [crateId, mark])),
        holders: new Map(holders.map(({ movementId, holderName }) => [movementId, holderName])),
      },
    };
  }

  /** The panels of a window, and whatever of theirs lies elsewhere than its panel. */
  async ofWindow(
    { siteId, fullMark }: { siteId: string; fullMark: string },
    panels: readonly { readonly panelId: string; readonly mark: string }[],
    asOf: FactsAsOf,
  ) {
    const marks = panels.map(({ mark }) => `${fullMark}.${mark}`);
    const { ledger, names } = await this.ofSite(siteId, marks, asOf);
    const away = ledger.keys.filter((key) => {
      const { mark } = readThing(key);
      return mark.startsWith(`${fullMark}.`) && panelMarkOf(mark) !== key;
    });
    return {
      panels: panels.map(({ panelId, mark }, i) => ({
        panelId,
        mark,
        where: whereView(ledger.where(marks[i]!), names),
      })),
      away: away
        .filter((key) => ledger.where(key).own?.things.includes(key) === true)
        .map((key) => whereView(ledger.where(key), names)),
    };
  }

  /** Where a thing is, and every change of it, oldest first. */
  async chain(
    siteId: string,
    key: string,
  ): Promise<{ readonly now: WhereAnswer; readonly chain: readonly WhereAnswer[] }> {
    const panel = panelMarkOf(readThing(key).mark);
    const { facts, ledger, names } = await this.ofSite(siteId, panel === null ? [] : [panel]);
    return {
      now: whereView(ledger.where(key), names),
      chain: chainOfCustody(facts, key).map((step) => whereView(step, names)),
    };
  }
}
