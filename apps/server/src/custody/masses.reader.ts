import { Inject, Injectable } from '@nestjs/common';
import { getNet, RecentCache, Tx } from '#libs/archive';
import { type Laid, massByAreaKg, panelMarkOf, readThing } from '#libs/custody';
import type { PgPool } from '#libs/db';
import { netSchedule, ringAreaMm2 } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { OBJECTS, POOL } from '../platform/tokens.js';

interface PanelMass {
  mark: string;
  ringMm: number[];
  objectDigest: string | null;
}

interface NetMass {
  readonly totalKg: number;
  readonly pieceKg: ReadonlyMap<string, number>;
}

/** What panels and pieces weigh: from their lead drawing, else from the panel's area. */
@Injectable()
export class MassesReader {
  readonly #tx: Tx;
  // a drawing never changes under its digest
  readonly #byDrawing = new RecentCache<NetMass>(500);

  constructor(
    @Inject(POOL) pool: PgPool,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {
    this.#tx = new Tx(pool);
  }

  /** @param keys of one site, see libs/custody; a sample has no mass of its own here */
  async of(siteId: string, keys: readonly string[]): Promise<Map<string, Laid>> {
    const panels = [...new Set(keys.flatMap((key) => panelMarkOf(readThing(key).mark) ?? []))];
    const rows = await this.#tx.query<PanelMass>(
      `SELECT x.mark, x.ring_mm, n.object_digest FROM (
         SELECT p.panel_id, p.ring_mm, coalesce(p.signed_revision, p.net_revision) AS revision,
                s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
                  || '.' || w.mark || '.' || p.mark AS mark
         FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
         WHERE p.site_id = $1) x
       LEFT JOIN net_revision n ON n.panel_id = x.panel_id AND n.revision = x.revision
       WHERE x.mark = ANY($2)`,
      [siteId, panels],
    );
    const byPanel = new Map(rows.map((row) => [row.mark, row]));
    const laid = await Promise.all(keys.map(async (key) => this.#of(key, byPanel)));
    return new Map(laid.map((one) => [one.key, one]));
  }

  async #of(key: string, byPanel: ReadonlyMap<string, PanelMass>): Promise<Laid> {
    const unknown = { key, massKg: null, source: null };
    const { mark, sample } = readThing(key);
    const panelMark = panelMarkOf(mark);
    const row = panelMark === null || sample !== null ? undefined : byPanel.get(panelMark);
    if (row === undefined) return unknown;
    const net = row.objectDigest === null ? undefined : await this.#net(row.objectDigest);
    if (mark !== panelMark) {
      const massKg = net?.pieceKg.get(mark.slice(panelMark!.length + 1));
      return massKg === undefined ? unknown : { key, massKg, source: 'net' };
    }
    if (net !== undefined) return { key, massKg: net.totalKg, source: 'net' };
    return { key, massKg: massByAreaKg(areaMm2(row.ringMm)), source: 'area' };
  }

  async #net(digest: string): Promise<NetMass> {
    const known = this.#byDrawing.get(digest);
    if (known !== undefined) return known;
    const schedule = netSchedule(await getNet(this.objects, digest));
    const mass: NetMass = {
      totalKg: schedule.grams.total / 1000,
      pieceKg: new Map(schedule.pieces.map(({ pieceId, grams }) => [pieceId, grams / 1000])),
    };
    this.#byDrawing.set(digest, mass);
    return mass;
  }
}

function areaMm2(flat: readonly number[]): number {
  const ring = Array.from({ length: flat.length / 2 }, (_, i): [number, number] => [
    flat[2 * i]!,
    flat[2 * i + 1]!,
  ]);
  return Math.abs(ringAreaMm2(ring));
}
