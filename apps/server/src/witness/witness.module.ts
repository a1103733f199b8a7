import { Module } from '@nestjs/common';
import { WitnessController } from './witness.controller.js';
import { WitnessService } from './witness.service.js';

@Module({ controllers: [WitnessController], providers: [WitnessService] })
export class WitnessModule {}
