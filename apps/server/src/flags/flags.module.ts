import { Module } from '@nestjs/common';
import { FlagsController } from './flags.controller.js';

@Module({ controllers: [FlagsController] })
export class FlagsModule {}
