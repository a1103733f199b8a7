import { Controller } from '@nestjs/common';
import { z } from 'zod';
import { Archive, answerFlag, type FlagRow, flagView, idSchema, siteMarkOf } from '#libs/archive';
import { page, readCursor } from '../platform/paging.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './flags.routes.js';

@Controller()
export class FlagsController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listFlags)
  async listFlags(@Asked() { actor, params, query }: AskedFor<typeof routes.listFlags>) {
    const site = await this.readable.site(actor, params.siteId);
    const siteMark = siteMarkOf(site);
    const { subject } = query;
    const isAll = subject === undefined || subject === siteMark;
    const full = isAll || subject.startsWith(`${siteMark}.`) ? subject : `${siteMark}.${subject}`;
    const after = readCursor(query.after, z.tuple([z.int(), idSchema]));
    const rows = await this.archive.reads.query<FlagRow>(
      `SELECT * FROM flag WHERE site_id = $1
         AND ($2::text IS NULL OR state = $2) AND ($3::text IS NULL OR kind = $3)
         AND ($4::uuid IS NULL OR campaign_id = $4)
         AND ($5::text IS NULL OR subject = $5 OR starts_with(subject, $5 || '.'))
         AND ($6::bigint IS NULL OR (raised_seq, flag_id) < ($6, $7::uuid))
       ORDER BY raised_seq DESC, flag_id DESC LIMIT $8`,
      [
        site.siteId,
        query.state === 'all' ? null : query.state,
        query.kind ?? null,
        query.campaignId ?? null,
        isAll ? null : full,
        after?.[0] ?? null,
        after?.[1] ?? null,
        query.limit + 1,
      ],
    );
    const { items, next } = page(rows, query.limit, (row) => [Number(row.raisedSeq), row.flagId]);
    return { items: items.map(flagView), next };
  }

  @Route(routes.answerFlag)
  answerFlag(@Asked() asked: AskedFor<typeof routes.answerFlag>) {
    return run(this.archive, answerFlag, { ...asked.body, ...asked.params }, asked);
  }
}
