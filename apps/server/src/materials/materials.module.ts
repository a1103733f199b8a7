import { Module } from '@nestjs/common';
import { MaterialsController } from './materials.controller.js';

@Module({ controllers: [MaterialsController] })
export class MaterialsModule {}
