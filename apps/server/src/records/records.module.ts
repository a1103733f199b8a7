import { Module } from '@nestjs/common';
import { SitesModule } from '../sites/sites.module.js';
import { RecordsController } from './records.controller.js';

@Module({ imports: [SitesModule], controllers: [RecordsController] })
export class RecordsModule {}
