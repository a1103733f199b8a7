import { Module, type OnModuleDestroy } from '@nestjs/common';
import { Imaging } from '#libs/imaging';
import { openImaging } from '../platform/open-imaging.js';
import { CONFIG } from '../platform/tokens.js';
import { IiifController } from './iiif.controller.js';
import { Pyramids } from './pyramids.service.js';

/** Tiles and cuts of pictures, by the IIIF Image API. */
@Module({
  controllers: [IiifController],
  providers: [{ provide: Imaging, useFactory: openImaging, inject: [CONFIG] }, Pyramids],
})
export class IiifModule implements OnModuleDestroy {
  constructor(private readonly imaging: Imaging) {}

  onModuleDestroy(): void {
    this.imaging.close();
  }
}
