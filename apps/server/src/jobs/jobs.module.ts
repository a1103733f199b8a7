import { Module } from '@nestjs/common';
import { JobsController } from './jobs.controller.js';
import { JobsReader } from './jobs.reader.js';

@Module({ controllers: [JobsController], providers: [JobsReader] })
export class JobsModule {}
