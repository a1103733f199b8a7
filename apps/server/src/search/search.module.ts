import { Module } from '@nestjs/common';
import { SitesModule } from '../sites/sites.module.js';
import { SearchController } from './search.controller.js';
import { SearchReader } from './search.reader.js';

@Module({
  imports: [SitesModule],
  controllers: [SearchController],
  providers: [SearchReader],
})
export class SearchModule {}
