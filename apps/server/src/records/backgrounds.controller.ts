import { Controller } from '@nestjs/common';
import { Archive, backgroundsAt, backgroundView, describeBackground } from '#libs/archive';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { MarksReader } from '../sites/marks.reader.js';
import * as routes from './backgrounds.routes.js';

@Controller()
export class BackgroundsController {
  constructor(
    private readonly archive: Archive,
    private readonly marks: MarksReader,
  ) {}

  @Route(routes.readBackgrounds)
  async readBackgrounds(@Asked() { actor, query }: AskedFor<typeof routes.readBackgrounds>) {
    const { siteId, fullMark: mark } = await this.marks.resolve(query.subject, actor);
    const rows = await backgroundsAt(this.archive.reads, siteId, mark);
    return { mark, items: rows.map(backgroundView), next: null };
  }

  @Route(routes.describeBackground)
  describeBackground(@Asked() asked: AskedFor<typeof routes.describeBackground>) {
    return run(this.archive, describeBackground, { ...asked.body, ...asked.params }, asked);
  }
}
