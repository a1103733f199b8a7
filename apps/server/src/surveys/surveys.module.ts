import { Module } from '@nestjs/common';
import { DeflectionsController } from './deflections.controller.js';
import { ProposalsReader } from './proposals.reader.js';
import { StandingController } from './standing.controller.js';
import { StandingReader } from './standing.reader.js';
import { SurveysController } from './surveys.controller.js';
import { WeightsController } from './weights.controller.js';
import { WeightsReader } from './weights.reader.js';

@Module({
  controllers: [SurveysController, DeflectionsController, StandingController, WeightsController],
  providers: [ProposalsReader, StandingReader, WeightsReader],
  exports: [WeightsReader],
})
export class SurveysModule {}
