import { Controller } from '@nestjs/common';
import { z } from 'zod';
import {
  Archive,
  addCrate,
  type CrateRow,
  crateView,
  type HandoverRow,
  handOver,
  type MovementRow,
  movementView,
  receive,
  recordMovement,
  siteMarkOf,
  unknown,
  withdrawMovement,
} from '#libs/archive';
import { arrivals, type CrateLimits, CustodyLedger, crateLoad, thingKey } from '#libs/custody';
import { Db } from '#libs/db';
import { CAUTIONS } from '#libs/vocabulary';
import { page, readCursor } from '../platform/paging.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { MarksReader } from '../sites/marks.reader.js';
import { asOf, momentOf } from '../windows/then/moment.js';
import * as routes from './custody.routes.js';
import { MassesReader } from './masses.reader.js';
import { WhereaboutsReader } from './whereabouts.reader.js';

const LIFTING = CAUTIONS.find(({ key }) => key === 'lifting')!.text;

@Controller()
export class CustodyController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
    private readonly whereabouts: WhereaboutsReader,
    private readonly masses: MassesReader,
    private readonly marks: MarksReader,
  ) {}

  @Route(routes.listCrates)
  async listCrates(@Asked() { actor, params }: AskedFor<typeof routes.listCrates>) {
    const { siteId } = await this.readable.site(actor, params.siteId);
    const rows = await this.archive.reads.query<CrateRow>(
      'SELECT * FROM crate WHERE site_id = $1 ORDER BY length(mark), mark',
      [siteId],
    );
    const panels = await this.#panelMarks(siteId);
    const { ledger } = await this.whereabouts.ofSite(siteId, panels);
    const held = new Map(rows.map(({ crateId }) => [crateId, ledger.inCrate(crateId)]));
    const masses = await this.masses.of(siteId, [...held.values()].flat());
    const items = rows.map((row) => {
      const keys = held.get(row.crateId)!;
      const laid = keys.map((key) => masses.get(key)!);
      return {
        ...crateView(row),
        at: ledger.whereIsCrate(row.crateId)?.to ?? null,
        holds: laid.map(({ key, massKg, source }) => ({
          key,
          slot: ledger.where(key).crate?.slot ?? null,
          massKg,
          massSource: source,
        })),
        load: crateLoad(laid, row.limits as CrateLimits),
        caution: LIFTING,
      };
    });
    return { items, next: null };
  }

  @Route(routes.addCrate)
  addCrate(@Asked() asked: AskedFor<typeof routes.addCrate>) {
    return run(this.archive, addCrate, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.listMovements)
  async listMovements(@Asked() { actor, params, query }: AskedFor<typeof routes.listMovements>) {
    const { siteId } = await this.readable.site(actor, params.siteId);
    const after = readCursor(query.after, z.tuple([z.int()]));
    const rows = await this.archive.reads.query<MovementRow>(
      `SELECT m.* FROM movement m
       WHERE site_id = $1 AND ($2::bigint IS NULL OR entry_seq < $2)
         AND (NOT $3 OR state = 'recorded'
           AND NOT EXISTS (SELECT 1 FROM handover h WHERE h.movement_id = m.movement_id AND side = 'receiver')
           AND (to_place ->> 'kind' = 'holder'
             OR EXISTS (SELECT 1 FROM handover h WHERE h.movement_id = m.movement_id)))
       ORDER BY entry_seq DESC LIMIT $4`,
      [siteId, after?.[0] ?? null, query.open === 'true', query.limit + 1],
    );
    const { items, next } = page(rows, query.limit, ({ entrySeq }) => [Number(entrySeq)]);
    const handovers = await this.#handovers(items.map(({ movementId }) => movementId));
    return {
      items: items.map((row) =>
        movementView(
          row,
          handovers.filter(({ movementId }) => movementId === row.movementId),
        ),
      ),
      next,
    };
  }

  @Route(routes.recordMovement)
  recordMovement(@Asked() asked: AskedFor<typeof routes.recordMovement>) {
    return run(this.archive, recordMovement, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.movement)
  async movement(@Asked() { actor, params }: AskedFor<typeof routes.movement>) {
    const row = await this.archive.reads.first<MovementRow>(
      'SELECT * FROM movement WHERE movement_id = $1',
      [params.movementId],
    );
    if (row === undefined) throw unknown('movement');
    await this.readable.site(actor, row.siteId).catch(() => {
      throw unknown('movement');
    });
    const handovers = await this.#handovers([row.movementId]);
    const shown = movementView(row, handovers);
    const { facts, names } = await this.whereabouts.ofSite(
      row.siteId,
      await this.#panelMarks(row.siteId),
    );
    const own = facts.find(({ movementId, unpacks }) => movementId === row.movementId && !unpacks);
    const before = new CustodyLedger(
      own === undefined
        ? []
        : facts.filter(({ day, seq }) => day < own.day || (day === own.day && seq <= own.seq)),
    );
    const inCrates = row.crates.flatMap((crateId) => before.inCrate(crateId));
    const seenBy = (side: HandoverRow['side']) =>
      shown.handovers.filter((one) => one.side === side).flatMap(({ seen }) => seen);
    const carries = arrivals([...row.things, ...inCrates], seenBy('sender'), seenBy('receiver'));
    return {
      ...shown,
      carries: carries.map((one) => {
        const { crate } = before.where(one.key);
        return {
          ...one,
          crate: crate && { ...crate, mark: names.crateMarks.get(crate.crateId) ?? '' },
        };
      }),
    };
  }

  @Route(routes.handOver)
  handOver(@Asked() asked: AskedFor<typeof routes.handOver>) {
    return run(this.archive, handOver, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.receive)
  receive(@Asked() asked: AskedFor<typeof routes.receive>) {
    return run(this.archive, receive, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawMovement)
  withdrawMovement(@Asked() asked: AskedFor<typeof routes.withdrawMovement>) {
    return run(this.archive, withdrawMovement, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.windowWhereabouts)
  async windowWhereabouts(
    @Asked() { actor, params, query }: AskedFor<typeof routes.windowWhereabouts>,
  ) {
    const window = await this.readable.window(actor, params.windowId);
    const { siteId, windowId } = window;
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId } });
    const moment = await momentOf(this.archive.reads, siteId, query);
    const panels = await this.db.panel.findMany({
      where: { windowId, retired: false },
      orderBy: { sortKey: 'asc' },
      select: { panelId: true, mark: true },
    });
    const fullMark = `${siteMarkOf(site)}.${window.mark}`;
    const found = await this.whereabouts.ofWindow({ siteId, fullMark }, panels, {
      until: moment.until,
      knownPlace: moment.known?.place ?? null,
    });
    return { ...found, asOf: asOf(moment, true) };
  }

  @Route(routes.markWhereabouts)
  async markWhereabouts(
    @Asked() { actor, params, query }: AskedFor<typeof routes.markWhereabouts>,
  ) {
    const { siteId, fullMark } = await this.marks.resolve(params.mark, actor);
    const key = thingKey({ mark: fullMark, sample: query.sample ?? null });
    return { key, siteId, ...(await this.whereabouts.chain(siteId, key)) };
  }

  async #handovers(movementIds: readonly string[]): Promise<HandoverRow[]> {
    return this.archive.reads.query<HandoverRow>(
      'SELECT * FROM handover WHERE movement_id = ANY($1::uuid[]) ORDER BY entry_seq',
      [movementIds],
    );
  }

  async #panelMarks(siteId: string): Promise<string[]> {
    const rows = await this.archive.reads.query<{ mark: string }>(
      `SELECT s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
              || '.' || w.mark || '.' || p.mark AS mark
       FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
       WHERE p.site_id = $1`,
      [siteId],
    );
    return rows.map(({ mark }) => mark);
  }
}
