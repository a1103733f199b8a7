import { Module } from '@nestjs/common';
import { CarryOverReader } from './carry-over.reader.js';
import { OutlineReader } from './outline.reader.js';
import { PanelsReader } from './panels.reader.js';
import { HappeningsReader } from './then/happenings.reader.js';
import { LeadsReader } from './then/leads.reader.js';
import { SaidPiecesReader } from './then/pieces.reader.js';
import { WindowThenReader } from './then/window-then.reader.js';
import { WindowsController } from './windows.controller.js';

@Module({
  controllers: [WindowsController],
  providers: [
    PanelsReader,
    CarryOverReader,
    OutlineReader,
    WindowThenReader,
    SaidPiecesReader,
    LeadsReader,
    HappeningsReader,
  ],
})
export class WindowsModule {}
