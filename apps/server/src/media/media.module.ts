import { Module, type OnModuleDestroy } from '@nestjs/common';
import { Imaging } from '#libs/imaging';
import { openImaging } from '../platform/open-imaging.js';
import { CONFIG } from '../platform/tokens.js';
import { HashThread } from './hash-thread.js';
import { Intake } from './intake.service.js';
import { MediaController } from './media.controller.js';
import { MediaService } from './media.service.js';
import { TusController } from './tus.controller.js';
import { UploadStore } from './upload.store.js';
import { Uploads } from './uploads.service.js';

/** Pictures and documents: intake and originals. */
@Module({
  controllers: [MediaController, TusController],
  providers: [
    { provide: Imaging, useFactory: openImaging, inject: [CONFIG] },
    HashThread,
    Intake,
    MediaService,
    UploadStore,
    Uploads,
  ],
})
export class MediaModule implements OnModuleDestroy {
  constructor(
    private readonly imaging: Imaging,
    private readonly hashing: HashThread,
  ) {}

  async onModuleDestroy(): Promise<void> {
    this.imaging.close();
    await this.hashing.end();
  }
}
