import { Module } from '@nestjs/common';
import { LabelsController } from './labels.controller.js';
import { LabelsReader } from './labels.reader.js';

@Module({ controllers: [LabelsController], providers: [LabelsReader] })
export class LabelsModule {}
