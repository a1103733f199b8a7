import { type DynamicModule, Module } from '@nestjs/common';
import { APP_GUARD } from '@nestjs/core';
import type { MullionConfig } from '#libs/archive';
import { BackupsModule } from './backups/backups.module.js';
import { CampaignsModule } from './campaigns/campaigns.module.js';
import { ConditionsModule } from './conditions/conditions.module.js';
import { CustodyModule } from './custody/custody.module.js';
import { DescriptionModule } from './description/description.module.js';
import { DossiersModule } from './dossiers/dossiers.module.js';
import { EstimatesModule } from './estimates/estimates.module.js';
import { FindingsModule } from './findings/findings.module.js';
import { FlagsModule } from './flags/flags.module.js';
import { GlassModule } from './glass/glass.module.js';
import { IiifModule } from './iiif/iiif.module.js';
import { JobsModule } from './jobs/jobs.module.js';
import { KeysModule } from './keys/keys.module.js';
import { LabelsModule } from './labels/labels.module.js';
import { LedgerModule } from './ledger/ledger.module.js';
import { LensesModule } from './lenses/lenses.module.js';
import { MaterialsModule } from './materials/materials.module.js';
import { MediaModule } from './media/media.module.js';
import { NetsModule } from './nets/nets.module.js';
import { OutsideModule } from './outside/outside.module.js';
import { PeopleModule } from './people/people.module.js';
import { AuthGuard } from './platform/auth.guard.js';
import { PlatformModule } from './platform/platform.module.js';
import { ProposalsModule } from './proposals/proposals.module.js';
import { RecordsModule } from './records/records.module.js';
import { RubbingsModule } from './rubbings/rubbings.module.js';
import { SearchModule } from './search/search.module.js';
import { ShardsModule } from './shards/shards.module.js';
import { SitesModule } from './sites/sites.module.js';
import { SurveysModule } from './surveys/surveys.module.js';
import { TechniquesModule } from './techniques/techniques.module.js';
import { WindowsModule } from './windows/windows.module.js';
import { WitnessModule } from './witness/witness.module.js';

/** One module per concept; what each needs of the world comes from the platform. */
@Module({})
export class AppModule {
  static with(config: MullionConfig): DynamicModule {
    return {
      module: AppModule,
      imports: [
        PlatformModule.with(config),
        PeopleModule,
        SitesModule,
        WindowsModule,
        RubbingsModule,
        NetsModule,
        LabelsModule,
        LensesModule,
        CampaignsModule,
        ProposalsModule,
        EstimatesModule,
        MaterialsModule,
        ConditionsModule,
        SurveysModule,
        TechniquesModule,
        CustodyModule,
        FindingsModule,
        ShardsModule,
        FlagsModule,
        DossiersModule,
        MediaModule,
        GlassModule,
        IiifModule,
        JobsModule,
        LedgerModule,
        KeysModule,
        OutsideModule,
        WitnessModule,
        BackupsModule,
        SearchModule,
        RecordsModule,
        DescriptionModule,
      ],
      providers: [{ provide: APP_GUARD, useClass: AuthGuard }],
    };
  }
}
