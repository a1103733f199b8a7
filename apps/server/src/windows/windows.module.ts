import { Module } from '@nestjs/common';
import { CarryOverReader } from './carry-over.reader.js';
import { OutlineReader } from './outline.reader.js';
import { PanelsReader } from './panels.reader.js';
import { WindowsController } from './windows.controller.js';

@Module({
  controllers: [WindowsController],
  providers: [PanelsReader, CarryOverReader, OutlineReader],
})
export class WindowsModule {}
