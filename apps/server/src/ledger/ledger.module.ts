import { Module } from '@nestjs/common';
import { LedgerController } from './ledger.controller.js';
import { LedgerReader } from './ledger.reader.js';

@Module({ controllers: [LedgerController], providers: [LedgerReader], exports: [LedgerReader] })
export class LedgerModule {}
