import { Module } from '@nestjs/common';
import { NetFiles } from './net-files.js';
import { NetsController } from './nets.controller.js';

@Module({ controllers: [NetsController], providers: [NetFiles] })
export class NetsModule {}
