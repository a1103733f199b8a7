import { Module } from '@nestjs/common';
import { FindingsController } from './findings.controller.js';
import { VocabularyController } from './vocabulary.controller.js';

@Module({ controllers: [FindingsController, VocabularyController] })
export class FindingsModule {}
