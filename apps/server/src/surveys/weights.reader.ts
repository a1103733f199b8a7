import { Injectable } from '@nestjs/common';
import { Archive, outlineInPanel, type PanelMaterials, type PanelRow } from '#libs/archive';
import { type Net, ringAreaMm2 } from '#libs/net';
import {
  type EstimatedWeight,
  estimatedWeight,
  GLASS_GROWTH_PER_MK,
  growthMm,
  LEAD_GROWTH_PER_MK,
  type Lifting,
  liftingOf,
  type PanelWeight,
  panelWeight,
  type WeightFacts,
} from '#libs/structure';
import { ProposalsReader } from './proposals.reader.js';

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

@Injectable()
export class WeightsReader {
  constructor(
    private readonly archive: Archive,
    private readonly proposals: ProposalsReader,
  ) {}

  async ofWindow(windowId: string): Promise<PanelWeighed[]> {
    const panels = await this.archive.reads.query<PanelRow>(
      'SELECT * FROM panel WHERE window_id = $1 AND NOT retired ORDER BY sort_key',
      [windowId],
    );
    const said = await this.#said(panels);
    const drawn = new Map<string, PanelWeight>();
    for (const panel of panels) {
      const weight = await this.#drawn(panel, said.get(panel.panelId));
      if (weight !== undefined) drawn.set(panel.panelId, weight);
    }
    const perM2 = [...drawn.values()].map(({ kgPerM2 }) => kgPerM2);
    return panels.map((panel) =>
      told(panel, drawn.get(panel.panelId), said.get(panel.panelId)?.weighedKg, perM2),
    );
  }

  /** One panel; what is not drawn is estimated by the drawn ones of its window. */
  async ofPanel(panel: Pick<PanelRow, 'panelId' | 'windowId'>): Promise<PanelWeighed> {
    const row = (await this.archive.reads.first<PanelRow>(
      'SELECT * FROM panel WHERE panel_id = $1',
      [panel.panelId],
    ))!;
    const said = (await this.#said([row])).get(row.panelId);
    const weight = await this.#drawn(row, said);
    if (weight !== undefined) return told(row, weight, undefined, []);
    const all = await this.ofWindow(panel.windowId);
    return (
      all.find(({ panelId }) => panelId === panel.panelId) ??
      told(row, undefined, said?.weighedKg, [])
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
    { panelId, signedRevision, netRevision }: PanelRow,
    said: PanelMaterials | undefined,
  ): Promise<PanelWeight | undefined> {
    const net: Net | undefined = await this.proposals.net(panelId, signedRevision ?? netRevision);
    return net === undefined ? undefined : panelWeight(net, (said ?? {}) as WeightFacts);
  }
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
