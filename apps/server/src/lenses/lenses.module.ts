import { Module } from '@nestjs/common';
import { LensesController } from './lenses.controller.js';

@Module({ controllers: [LensesController] })
export class LensesModule {}
