import { Module } from '@nestjs/common';
import { RubbingsController } from './rubbings.controller.js';

@Module({ controllers: [RubbingsController] })
export class RubbingsModule {}
