import { Controller } from '@nestjs/common';
import { Archive, gatherRecord } from '#libs/archive';
import { Db } from '#libs/db';
import { fileForm, parseMark, type Scheme } from '#libs/marks';
import { recordPdf } from '#libs/print';
import { type MullionRecord, recordHtml, recordJson } from '#libs/records';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { MarksReader } from '../sites/marks.reader.js';
import * as routes from './records.routes.js';

// Previews are data:, the style stands in the page; nothing else is loaded and nothing runs.
const PAGE_POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; font-src 'self'";

@Controller()
export class RecordsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly marks: MarksReader,
  ) {}

  @Route(routes.record)
  async record(@Asked() { actor, params, query, reply }: AskedFor<typeof routes.record>) {
    const place = await this.marks.resolve(query.subject, actor);
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: place.siteId } });
    const record = await gatherRecord(this.archive, params.kind, place.siteId, place.fullMark);
    const fileName = `${fileForm(parseMark(place.fullMark, site.scheme as Scheme))}-${params.kind}.${query.format}`;
    void reply
      .type(routes.RECORD_TYPES[query.format])
      .header('Content-Security-Policy', PAGE_POLICY)
      .header('Content-Disposition', `inline; filename="${fileName}"`);
    return written(record, query.format);
  }
}

async function written(
  record: MullionRecord,
  format: keyof typeof routes.RECORD_TYPES,
): Promise<string | Buffer> {
  switch (format) {
    case 'html':
      return recordHtml(record);
    case 'json':
      return recordJson(record);
    case 'pdf':
      return Buffer.from(await recordPdf(record));
  }
}
