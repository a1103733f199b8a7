import { Module } from '@nestjs/common';
import { SitesModule } from '../sites/sites.module.js';
import { SurveysModule } from '../surveys/surveys.module.js';
import { ChecklistsController } from './checklists.controller.js';
import { CustodyController } from './custody.controller.js';
import { ManyController } from './many.controller.js';
import { MassesReader } from './masses.reader.js';
import { StepsController } from './steps.controller.js';
import { WhereaboutsReader } from './whereabouts.reader.js';

@Module({
  imports: [SitesModule, SurveysModule],
  controllers: [ChecklistsController, CustodyController, ManyController, StepsController],
  providers: [MassesReader, WhereaboutsReader],
})
export class CustodyModule {}
