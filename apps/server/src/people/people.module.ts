import { Module } from '@nestjs/common';
import { Attempts } from './attempts.js';
import { DevicesController } from './devices.controller.js';
import { OneTimeToken } from './one-time-token.js';
import { PeopleController } from './people.controller.js';
import { SessionController } from './session.controller.js';

@Module({
  controllers: [SessionController, PeopleController, DevicesController],
  providers: [Attempts, OneTimeToken],
})
export class PeopleModule {}
