import { Module } from '@nestjs/common';
import { MarksReader } from './marks.reader.js';
import { SitesController } from './sites.controller.js';

@Module({
  controllers: [SitesController],
  providers: [MarksReader],
  exports: [MarksReader],
})
export class SitesModule {}
