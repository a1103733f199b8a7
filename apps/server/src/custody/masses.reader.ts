import { Injectable } from '@nestjs/common';
import { Archive, type PanelRow } from '#libs/archive';
import { type Laid, panelMarkOf, readThing } from '#libs/custody';
import { type PanelWeighed, WeightsReader } from '../surveys/weights.reader.js';

/** What lies in crates weighs what its panel is said to weigh. */
@Injectable()
export class MassesReader {
  constructor(
    private readonly archive: Archive,
    private readonly weights: WeightsReader,
  ) {}

  /** @param keys of one site, see libs/custody; a sample has no mass of its own here */
  async of(siteId: string, keys: readonly string[]): Promise<Map<string, Laid>> {
    const panels = [...new Set(keys.flatMap((key) => panelMarkOf(readThing(key).mark) ?? []))];
    const rows = await this.archive.reads.query<PanelRow & { fullMark: string }>(
      `SELECT * FROM (
         SELECT p.*, s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
                  || '.' || w.mark || '.' || p.mark AS full_mark
         FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
         WHERE p.site_id = $1) x
       WHERE x.full_mark = ANY($2)`,
      [siteId, panels],
    );
    const weighed = await this.weights.ofPanels(rows);
    const byMark = new Map(rows.map(({ fullMark }, i) => [fullMark, weighed[i]!]));
    return new Map(keys.map((key) => [key, laid(key, byMark)]));
  }
}

function laid(key: string, byMark: ReadonlyMap<string, PanelWeighed>): Laid {
  const unknown = { key, massKg: null, source: null };
  const { mark, sample } = readThing(key);
  const panelMark = panelMarkOf(mark);
  const panel = panelMark === null || sample !== null ? undefined : byMark.get(panelMark);
  if (panel === undefined) return unknown;
  if (mark === panelMark) {
    const { kg, source, estimate } = panel;
    // Carried is what it may weigh at most.
    if (source === 'estimated') return { key, massKg: estimate!.highKg, source: 'area' };
    return { key, massKg: kg, source: source === 'weighed' ? 'weighed' : 'net' };
  }
  const inPanel = mark.slice(panelMark!.length + 1);
  const piece = panel.weight?.pieces.find(({ pieceId }) => pieceId === inPanel);
  if (piece === undefined) return unknown;
  const source = piece.source === 'weighed' ? 'weighed' : 'net';
  return { key, massKg: piece.grams / 1000, source };
}
