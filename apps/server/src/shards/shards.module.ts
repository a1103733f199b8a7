import { Module } from '@nestjs/common';
import { ShardsController } from './shards.controller.js';
import { TrayReader } from './tray.reader.js';

@Module({ controllers: [ShardsController], providers: [TrayReader] })
export class ShardsModule {}
