import { Controller } from '@nestjs/common';
import {
  Archive,
  describeMaterials,
  type PanelMaterialsRow,
  panelMaterialsView,
  without,
} from '#libs/archive';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { WeightsReader } from './weights.reader.js';
import * as routes from './weights.routes.js';

@Controller()
export class WeightsController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
    private readonly weights: WeightsReader,
  ) {}

  @Route(routes.panelWeight)
  async panelWeight(@Asked() { actor, params }: AskedFor<typeof routes.panelWeight>) {
    return this.weights.ofPanel(await this.readable.panel(actor, params.panelId));
  }

  @Route(routes.windowWeights)
  async windowWeights(@Asked() { actor, params }: AskedFor<typeof routes.windowWeights>) {
    const { windowId } = await this.readable.window(actor, params.windowId);
    const all = await this.weights.ofWindow(windowId);
    const lights = new Map<string, { light: string; kg: number; panels: number }>();
    for (const { mark, kg } of all) {
      const light = /^\d+([a-z]+)$/.exec(mark)?.[1] ?? 'tracery';
      const so = lights.get(light) ?? { light, kg: 0, panels: 0 };
      lights.set(light, { light, kg: so.kg + kg, panels: so.panels + 1 });
    }
    return {
      items: all.map((one) => without(one, 'weight')),
      lights: [...lights.values()].sort((a, b) => (a.light < b.light ? -1 : 1)),
      kg: all.reduce((sum, one) => sum + one.kg, 0),
      estimatedPanels: all.filter(({ source }) => source === 'estimated').length,
      next: null,
    };
  }

  @Route(routes.materials)
  async materials(@Asked() { actor, params }: AskedFor<typeof routes.materials>) {
    const { panelId } = await this.readable.panel(actor, params.panelId);
    const row = await this.archive.reads.first<PanelMaterialsRow>(
      'SELECT * FROM panel_materials WHERE panel_id = $1',
      [panelId],
    );
    return { materials: row === undefined ? null : panelMaterialsView(row) };
  }

  @Route(routes.describeMaterials)
  describeMaterials(@Asked() asked: AskedFor<typeof routes.describeMaterials>) {
    return run(this.archive, describeMaterials, { ...asked.body, ...asked.params }, asked);
  }
}
