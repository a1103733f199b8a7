import { Module } from '@nestjs/common';
import { LedgerModule } from '../ledger/ledger.module.js';
import { OutsideController } from './outside.controller.js';
import { OutsideReader } from './outside.reader.js';

@Module({
  imports: [LedgerModule],
  controllers: [OutsideController],
  providers: [OutsideReader],
})
export class OutsideModule {}
