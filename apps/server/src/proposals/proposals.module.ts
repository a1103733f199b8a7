import { Module } from '@nestjs/common';
import { ProposalsController } from './proposals.controller.js';

@Module({ controllers: [ProposalsController] })
export class ProposalsModule {}
