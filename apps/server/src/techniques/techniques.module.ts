import { Module } from '@nestjs/common';
import { TechniquesController } from './techniques.controller.js';

@Module({ controllers: [TechniquesController] })
export class TechniquesModule {}
