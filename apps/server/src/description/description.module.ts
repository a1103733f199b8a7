import { Module } from '@nestjs/common';
import { DescriptionController } from './description.controller.js';

@Module({ controllers: [DescriptionController] })
export class DescriptionModule {}
