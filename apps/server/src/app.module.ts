import { type DynamicModule, Module } from '@nestjs/common';
import { APP_GUARD } from '@nestjs/core';
import type { MullionConfig } from '#libs/archive';
import { MediaModule } from './media/media.module.js';
import { PeopleModule } from './people/people.module.js';
import { AuthGuard } from './platform/auth.guard.js';
import { PlatformModule } from './platform/platform.module.js';
import { SitesModule } from './sites/sites.module.js';

/** One module per concept; what each needs of the world comes from the platform. */
@Module({})
export class AppModule {
  static with(config: MullionConfig): DynamicModule {
    return {
      module: AppModule,
      imports: [PlatformModule.with(config), PeopleModule, SitesModule, MediaModule],
      providers: [{ provide: APP_GUARD, useClass: AuthGuard }],
    };
  }
}
