import { Controller } from '@nestjs/common';
import {
  Archive,
  choiceView,
  chooseGlass,
  chosenGlass,
  cutCostOf,
  cutGlass,
  cutListOf,
  describeSheet,
  type GlassSheetRow,
  type MaterialPriceRow,
  priceMaterial,
  priceView,
  sheetView,
} from '#libs/archive';
import { type CutList, cutListCsv } from '#libs/cutting';
import { cutListPdf } from '#libs/print';
import { Problem } from '#libs/problem';
import { type Actor, needOfStudio } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { needRecorderSomewhere } from '../platform/recorder-somewhere.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './glass.routes.js';
import { LayThread } from './lay-thread.js';

/** New work: glass out of the register, what is cut from it, and what that costs. */
@Controller()
export class GlassController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
    private readonly laying: LayThread,
  ) {}

  @Route(routes.listSheets)
  async listSheets(@Asked() { actor }: AskedFor<typeof routes.listSheets>) {
    needRecorderSomewhere(actor);
    const { reads } = this.archive;
    const sheets = await reads.query<GlassSheetRow>(
      'SELECT * FROM glass_sheet ORDER BY entry_seq DESC LIMIT 1000',
    );
    const prices = await reads.query<MaterialPriceRow>(
      'SELECT * FROM material_price ORDER BY entry_seq DESC LIMIT 1000',
    );
    return { items: sheets.map(sheetView), prices: prices.map(priceView), next: null };
  }

  @Route(routes.describeSheet)
  describeSheet(@Asked() asked: AskedFor<typeof routes.describeSheet>) {
    return run(this.archive, describeSheet, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.priceMaterial)
  priceMaterial(@Asked() asked: AskedFor<typeof routes.priceMaterial>) {
    return run(this.archive, priceMaterial, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.listChoices)
  async listChoices(@Asked() { actor, params }: AskedFor<typeof routes.listChoices>) {
    const { panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await chosenGlass(this.archive.reads, panelId);
    return { items: rows.map(choiceView), next: null };
  }

  @Route(routes.chooseGlass)
  chooseGlass(@Asked() asked: AskedFor<typeof routes.chooseGlass>) {
    return run(this.archive, chooseGlass, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.cutGlass)
  cutGlass(@Asked() asked: AskedFor<typeof routes.cutGlass>) {
    return run(this.archive, cutGlass, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.cutList)
  async cutList(@Asked() { actor, params, query }: AskedFor<typeof routes.cutList>) {
    const { list } = await this.#list(actor, params.panelId, query);
    return toAnswer(list);
  }

  @Route(routes.cutListFile)
  async cutListFile(@Asked() { actor, params, query, reply }: AskedFor<typeof routes.cutListFile>) {
    const { list, saidAt } = await this.#list(actor, params.panelId, query);
    const name = `${list.mark.replaceAll(':', '-')}-${params.file}`;
    void reply
      .type(routes.CUT_LIST_FILES[params.file])
      .header('Content-Disposition', `inline; filename="${name}"`);
    return params.file === 'cut-list.csv'
      ? cutListCsv(list)
      : Buffer.from(await cutListPdf(list, saidAt));
  }

  @Route(routes.cutCost)
  async cutCost(@Asked() { actor, params, query }: AskedFor<typeof routes.cutCost>) {
    const { list, net, siteId } = await this.#list(actor, params.panelId, query);
    needOfStudio(actor, siteId);
    const { bySheet, byArea, currencies } = await cutCostOf(
      this.archive.reads,
      list,
      net,
      query.currency,
    );
    return { bySheet: [...bySheet], byArea: [...byArea], currencies: [...currencies] };
  }

  async #list(
    actor: Actor,
    panelId: string,
    query: { of: 'to-cut' | 'all'; gapMm: number; edgeMm: number },
  ) {
    const { siteId } = await this.readable.panel(actor, panelId);
    const { reads: tx, objects } = this.archive;
    const found = await cutListOf(
      { tx, objects, lay: (...asked) => this.laying.lay(...asked) },
      panelId,
      query,
    );
    if (found === undefined) {
      throw new Problem(
        'net-unsigned',
        'Sign the lead drawing first: a cut list is made of a signed drawing.',
      );
    }
    return { list: found.list, net: found.drawn.net, siteId, saidAt: found.saidAt };
  }
}

/** The list as the API's own mutable shapes. */
function toAnswer(list: CutList) {
  return structuredClone(list) as Mutable<CutList>;
}

type Mutable<T> = T extends readonly [infer A, infer B]
  ? [A, B]
  : T extends readonly (infer U)[]
    ? Mutable<U>[]
    : T extends object
      ? { -readonly [K in keyof T]: Mutable<T[K]> }
      : T;
