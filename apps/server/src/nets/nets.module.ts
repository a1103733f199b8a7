import { Module } from '@nestjs/common';
import { NetFilesController } from './net-files.controller.js';
import { NetFiles } from './net-files.js';
import { NetImportController } from './net-import.controller.js';
import { NetRevisions } from './net-revisions.reader.js';
import { NetsController } from './nets.controller.js';

@Module({
  controllers: [NetsController, NetFilesController, NetImportController],
  providers: [NetRevisions, NetFiles],
})
export class NetsModule {}
