import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Module, type OnModuleDestroy } from '@nestjs/common';
import type { MullionConfig } from '#libs/archive';
import { Imaging } from '#libs/imaging';
import { IiifController } from '../iiif/iiif.controller.js';
import { Pyramids } from '../iiif/pyramids.service.js';
import { CONFIG } from '../platform/tokens.js';
import { Intake } from './intake.service.js';
import { MediaController } from './media.controller.js';
import { MediaService } from './media.service.js';
import { TusController } from './tus.controller.js';
import { UploadStore } from './upload.store.js';
import { Uploads } from './uploads.service.js';

/** Pictures and documents: intake, originals, tiles. */
@Module({
  controllers: [MediaController, TusController, IiifController],
  providers: [
    { provide: Imaging, useFactory: openImaging, inject: [CONFIG] },
    Intake,
    MediaService,
    Pyramids,
    UploadStore,
    Uploads,
  ],
})
export class MediaModule implements OnModuleDestroy {
  constructor(private readonly imaging: Imaging) {}

  onModuleDestroy(): void {
    this.imaging.close();
  }
}

function openImaging(config: MullionConfig): Imaging {
  const scratchFolder = join(config.home, 'scratch');
  mkdirSync(scratchFolder, { recursive: true, mode: 0o700 });
  const { maxUploadBytes, maxPixels, maxFrames } = config;
  return new Imaging({ scratchFolder, limits: { maxBytes: maxUploadBytes, maxPixels, maxFrames } });
}
