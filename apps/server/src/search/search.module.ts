import { Module } from '@nestjs/common';
import { SitesModule } from '../sites/sites.module.js';
import { SearchArea } from './search.area.js';
import { SearchController } from './search.controller.js';
import { SearchCsv } from './search.csv.js';
import { SearchPool } from './search.pool.js';
import { SearchReader } from './search.reader.js';
import { SearchScope } from './search.scope.js';

@Module({
  imports: [SitesModule],
  controllers: [SearchController],
  providers: [SearchArea, SearchCsv, SearchPool, SearchReader, SearchScope],
})
export class SearchModule {}
