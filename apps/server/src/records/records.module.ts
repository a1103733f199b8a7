import { Module } from '@nestjs/common';
import { SitesModule } from '../sites/sites.module.js';
import { BackgroundsController } from './backgrounds.controller.js';
import { RecordsController } from './records.controller.js';

@Module({ imports: [SitesModule], controllers: [BackgroundsController, RecordsController] })
export class RecordsModule {}
