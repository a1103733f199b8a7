import { Injectable } from '@nestjs/common';
import {
  Archive,
  type Gauge,
  gaugesOf,
  getNet,
  outlineInPanel,
  type PanelMaterials,
  type PanelRow,
  type PieceTechnique,
  RecentCache,
} from '#libs/archive';
import { ringAreaMm2 } from '#libs/net';
import {
  type DescribedLayer,
  type EstimatedWeight,
  estimatedWeight,
  GLASS_GROWTH_PER_MK,
  growthMm,
  LEAD_GROWTH_PER_MK,
  type Lifting,
  liftingOf,
  type PanelWeight,
  type PieceMaterials,
  panelWeight,
  type WeightFacts,
} from '#libs/structure';

export interface PanelWeighed {
  panelId: string;
  mark: string;
  /** what to lift by, kg; weighed, computed from the drawing, or estimated from the area */
  kg: number;
  source: 'weighed' | 'computed' | 'estimated';
  weight: PanelWeight | null;
  estimate: EstimatedWeight | null;
  lifting: Lifting;
  /** of the longer side when it gets warmer, mm */
  heat: {
    warmerK: number;
    lengthMm: number;
    leadMm: number;
    glassMm: number;
    differenceMm: number;
  };
}

/** Warmer by this: an example that is common practice, no source. */
const WARMER_K = 40;

type PieceLayers = Readonly<Record<string, readonly DescribedLayer[]>>;
type Drawn = ReadonlyMap<string, PanelWeight>;

@Injectable()
export class WeightsReader {
  // the same drawing with the same materials weighs the same
  readonly #byDrawing = new RecentCache<PanelWeight>(500);

  constructor(private readonly archive: Archive) {}

  async ofWindow(windowId: string): Promise<PanelWeighed[]> {
    return this.ofPanels(await this.#panelsOf([windowId]));
  }

  async ofPanel({ panelId }: Pick<PanelRow, 'panelId'>): Promise<PanelWeighed> {
    const row = (await this.archive.reads.first<PanelRow>(
      'SELECT * FROM panel WHERE panel_id = $1',
      [panelId],
    ))!;
    const [weighed] = await this.ofPanels([row]);
    return weighed!;
  }

  /** In the order given; what is not drawn is estimated by the drawn ones of its window. */
  async ofPanels(rows: readonly PanelRow[]): Promise<PanelWeighed[]> {
    const said = await this.#said(rows);
    const drawn = await this.#drawn(rows, said);
    const undrawn = rows.filter(({ panelId }) => !drawn.has(panelId));
    const perM2 = await this.#perM2([...new Set(undrawn.map(({ windowId }) => windowId))], drawn);
    return rows.map((row) =>
      told(
        row,
        drawn.get(row.panelId),
        said.get(row.panelId)?.weighedKg,
        perM2.get(row.windowId) ?? [],
      ),
    );
  }

  /** What each drawn panel of these windows weighs, kg/m². */
  async #perM2(windowIds: readonly string[], known: Drawn): Promise<Map<string, number[]>> {
    const panels = await this.#panelsOf(windowIds);
    const others = panels.filter(({ panelId }) => !known.has(panelId));
    const more = await this.#drawn(others, await this.#said(others));
    const perM2 = new Map<string, number[]>(windowIds.map((windowId) => [windowId, []]));
    for (const { panelId, windowId } of panels) {
      const weight = known.get(panelId) ?? more.get(panelId);
      if (weight !== undefined) perM2.get(windowId)!.push(weight.kgPerM2);
    }
    return perM2;
  }

  async #panelsOf(windowIds: readonly string[]): Promise<PanelRow[]> {
    if (windowIds.length === 0) return [];
    return this.archive.reads.query<PanelRow>(
      'SELECT * FROM panel WHERE window_id = ANY ($1) AND NOT retired ORDER BY sort_key',
      [windowIds],
    );
  }

  async #said(panels: readonly PanelRow[]): Promise<Map<string, PanelMaterials>> {
    const rows = await this.archive.reads.query<{ panelId: string; said: PanelMaterials }>(
      'SELECT panel_id, said FROM panel_materials WHERE panel_id = ANY ($1)',
      [panels.map(({ panelId }) => panelId)],
    );
    return new Map(rows.map(({ panelId, said }) => [panelId, said]));
  }

  async #drawn(
    panels: readonly PanelRow[],
    said: ReadonlyMap<string, PanelMaterials>,
  ): Promise<Drawn> {
    const rows = await this.archive.reads.query<{ panelId: string; objectDigest: string }>(
      `SELECT n.panel_id, n.object_digest FROM panel p JOIN net_revision n
         ON n.panel_id = p.panel_id AND n.revision = coalesce(p.signed_revision, p.net_revision)
       WHERE p.panel_id = ANY ($1)`,
      [panels.map(({ panelId }) => panelId)],
    );
    const panelIds = rows.map(({ panelId }) => panelId);
    const layers = await this.#layers(panelIds);
    const gauged = await gaugesOf(this.archive.reads, panelIds);
    const drawn = new Map<string, PanelWeight>();
    for (const { panelId, objectDigest } of rows)
      drawn.set(
        panelId,
        await this.#weight(
          objectDigest,
          factsOf(said.get(panelId), layers.get(panelId), gauged.get(panelId)),
        ),
      );
    return drawn;
  }

  /** Layers of the pieces that somebody described, by panel and piece. */
  async #layers(panelIds: readonly string[]): Promise<Map<string, PieceLayers>> {
    const rows = await this.archive.reads.query<{
      panelId: string;
      mark: string;
      said: PieceTechnique;
    }>(
      `SELECT t.panel_id, p.mark, t.said FROM piece_technique t JOIN piece p USING (piece_id)
       WHERE t.panel_id = ANY ($1) AND NOT p.retired AND NOT p.provisional`,
      [panelIds],
    );
    const found = new Map<string, PieceLayers>();
    for (const { panelId, mark, said } of rows) {
      if (said.layers.length === 0) continue;
      found.set(panelId, { ...found.get(panelId), [mark]: layersOf(said) });
    }
    return found;
  }

  async #weight(objectDigest: string, facts: WeightFacts): Promise<PanelWeight> {
    const key = `${objectDigest} ${JSON.stringify(facts)}`;
    const known =
      this.#byDrawing.get(key) ??
      panelWeight(await getNet(this.archive.objects, objectDigest), facts);
    this.#byDrawing.set(key, known);
    return known;
  }
}

function layersOf({ layers }: PieceTechnique): DescribedLayer[] {
  return layers.map((layer) => {
    const { is, thicknessMm, densityGCm3 } = layer;
    const gauged = layer.is === 'glass' ? layer.gauged : undefined;
    return {
      is,
      ...(thicknessMm === undefined ? {} : { thicknessMm }),
      ...(densityGCm3 === undefined ? {} : { densityGCm3 }),
      ...(gauged === undefined ? {} : { gauged }),
    };
  });
}

function factsOf(
  said: PanelMaterials | undefined,
  layers: PieceLayers = {},
  gauged: readonly Gauge[] = [],
): WeightFacts {
  const facts = (said ?? {}) as WeightFacts;
  const pieces: Record<string, PieceMaterials> = { ...facts.pieces };
  for (const [mark, own] of Object.entries(layers)) pieces[mark] = { ...pieces[mark], layers: own };
  return { ...facts, pieces, profiles: [...(facts.profiles ?? []), ...gauged] };
}

function told(
  { panelId, mark, ringMm }: PanelRow,
  weight: PanelWeight | undefined,
  weighedKg: number | undefined,
  perM2: readonly number[],
): PanelWeighed {
  const outline = outlineInPanel(ringMm);
  const estimate =
    weight === undefined ? estimatedWeight(Math.abs(ringAreaMm2(outline)), perM2) : null;
  // Carried is what it may weigh at most; a scale knows.
  const liftKg = weight?.kg ?? weighedKg ?? estimate!.highKg;
  const lengthMm = Math.max(...outline.flat());
  const leadMm = growthMm(LEAD_GROWTH_PER_MK, lengthMm, WARMER_K);
  const glassMm = growthMm(GLASS_GROWTH_PER_MK, lengthMm, WARMER_K);
  return {
    panelId,
    mark,
    kg: weight?.kg ?? weighedKg ?? estimate!.kg,
    source: weight?.source ?? (weighedKg === undefined ? 'estimated' : 'weighed'),
    weight: weight ?? null,
    estimate,
    lifting: liftingOf(liftKg),
    heat: { warmerK: WARMER_K, lengthMm, leadMm, glassMm, differenceMm: leadMm - glassMm },
  };
}
