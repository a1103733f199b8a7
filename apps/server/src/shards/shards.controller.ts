import { Controller } from '@nestjs/common';
import {
  Archive,
  askAssembly,
  joiningView,
  keepJoining,
  panelPlace,
  withdrawJoining,
} from '#libs/archive';
import { shapesDxf, shapesSvg } from '#libs/net';
import { Problem } from '#libs/problem';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './shards.routes.js';
import { TrayReader } from './tray.reader.js';

@Controller()
export class ShardsController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
    private readonly trays: TrayReader,
  ) {}

  @Route(routes.trayOfShards)
  async trayOfShards(@Asked() { actor, params }: AskedFor<typeof routes.trayOfShards>) {
    const { panelId } = await this.readable.panel(actor, params.panelId);
    return this.trays.tray(await panelPlace(this.archive.reads, panelId), params.piece);
  }

  @Route(routes.askAssembly)
  askAssembly(@Asked() asked: AskedFor<typeof routes.askAssembly>) {
    return run(this.archive, askAssembly, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.keepJoining)
  keepJoining(@Asked() asked: AskedFor<typeof routes.keepJoining>) {
    return run(this.archive, keepJoining, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawJoining)
  withdrawJoining(@Asked() asked: AskedFor<typeof routes.withdrawJoining>) {
    return run(this.archive, withdrawJoining, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.missingGlass)
  async missingGlass(
    @Asked() { actor, params, query, reply }: AskedFor<typeof routes.missingGlass>,
  ) {
    const row = await this.trays.joining(params.joiningId);
    await this.readable.panel(actor, row.panelId);
    const { missing, piece } = joiningView(row);
    if (missing.length === 0)
      throw new Problem(
        'nothing-missing',
        'The shards that are kept cover the whole piece: there is no shape to cut.',
      );
    const { fullMark } = await panelPlace(this.archive.reads, row.panelId);
    const shapes = missing.map(({ ringsMm }, i) => ({
      name: missing.length === 1 ? piece : `${piece}-${i + 1}`,
      ringsMm,
    }));
    const options = {
      title: `${fullMark}.${piece}, glass that is missing`,
      mirrored: query.mirrored === 'true',
    };
    const fileName = `${fullMark}.${piece}-missing.${params.format}`.replaceAll(':', '-');
    void reply
      .type(params.format === 'svg' ? 'image/svg+xml' : 'image/vnd.dxf')
      .header('Content-Disposition', `inline; filename="${fileName}"`);
    return params.format === 'svg' ? shapesSvg(shapes, options) : shapesDxf(shapes, options);
  }
}
