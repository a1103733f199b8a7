import { Module } from '@nestjs/common';
import { GlassController } from './glass.controller.js';
import { LayThread } from './lay-thread.js';

@Module({ controllers: [GlassController], providers: [LayThread] })
export class GlassModule {}
