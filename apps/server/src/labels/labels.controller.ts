import { Controller } from '@nestjs/common';
import { labelsPdf } from '#libs/print';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { LabelsReader } from './labels.reader.js';
import * as routes from './labels.routes.js';

@Controller()
export class LabelsController {
  constructor(
    private readonly readable: Readable,
    private readonly reader: LabelsReader,
  ) {}

  @Route(routes.windowLabels)
  async windowLabels(
    @Asked() { actor, params, query, reply }: AskedFor<typeof routes.windowLabels>,
  ) {
    const window = await this.readable.window(actor, params.windowId);
    const { labels, fileName, title } = await this.reader.labels(window, query);
    const { stock, widthMm, heightMm, skipped } = query;
    const pdf = await labelsPdf(labels, {
      title,
      stock: { kind: stock, widthMm, heightMm },
      skipped,
      cutLines: query.cutLines === 'true',
    });
    void reply
      .type('application/pdf')
      .header('Content-Disposition', `inline; filename="${fileName}"`);
    return Buffer.from(pdf);
  }
}
