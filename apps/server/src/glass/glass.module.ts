import { Module } from '@nestjs/common';
import { GlassController } from './glass.controller.js';

@Module({ controllers: [GlassController] })
export class GlassModule {}
