import { Module } from '@nestjs/common';
import { ConditionsController } from './conditions.controller.js';

@Module({ controllers: [ConditionsController] })
export class ConditionsModule {}
