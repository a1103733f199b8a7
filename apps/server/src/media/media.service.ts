import { Injectable } from '@nestjs/common';
import {
  Archive,
  findRow,
  isAtLeast,
  type MediaAnswer,
  type MediaRow,
  mediaViews,
  siteMarkOf,
  subjectsAt,
  unknown,
} from '#libs/archive';
import { type Actor, needRole, roleOf } from '../platform/actor.js';
import { momentKey, page, readCursor } from '../platform/paging.js';

export interface MediaFilter {
  subject?: string | undefined;
  kind?: string | undefined;
  stage?: string | undefined;
  after?: string | undefined;
  limit: number;
}

@Injectable()
export class MediaService {
  constructor(private readonly archive: Archive) {}

  /** @throws {Problem} `media-unknown`, also where the actor may not read */
  async one(actor: Actor, mediaId: string): Promise<MediaRow> {
    const row = await findRow(this.archive.reads, 'media', { mediaId });
    if (row === undefined || !isAtLeast(roleOf(actor, row.siteId), 'reader')) {
      throw unknown('media');
    }
    return row;
  }

  async view(row: MediaRow): Promise<MediaAnswer> {
    return (await mediaViews(this.archive.reads, [row]))[0]!;
  }

  /** Newest first; `subject` finds what lies below it too. */
  async list(
    actor: Actor,
    siteId: string,
    filter: MediaFilter,
  ): Promise<{ items: MediaAnswer[]; next: string | null }> {
    needRole(actor, siteId, 'reader');
    const { reads } = this.archive;
    const site = await findRow(reads, 'site', { siteId });
    if (site === undefined) throw unknown('site');
    const siteMark = siteMarkOf(site);
    const values: unknown[] = [siteId];
    const value = (next: unknown): string => `$${values.push(next)}`;
    const where = ['site_id = $1'];
    if (filter.kind !== undefined) where.push(`kind = ${value(filter.kind)}`);
    if (filter.stage !== undefined) where.push(`stage = ${value(filter.stage)}`);
    if (filter.subject !== undefined && filter.subject !== siteMark) {
      const subject = value(
        filter.subject.startsWith(`${siteMark}.`)
          ? filter.subject
          : `${siteMark}.${filter.subject}`,
      );
      where.push(subjectsAt(subject));
    }
    const after = readCursor(filter.after, momentKey);
    if (after !== undefined) {
      where.push(
        `(recorded_at, media_id) < (${value(after[0])}::timestamptz, ${value(after[1])}::uuid)`,
      );
    }
    const rows = await reads.query<MediaRow>(
      `SELECT * FROM media WHERE ${where.join(' AND ')}
       ORDER BY recorded_at DESC, media_id DESC LIMIT ${value(filter.limit + 1)}`,
      values,
    );
    const { items, next } = page(rows, filter.limit, (row) => [
      row.recordedAt.toISOString(),
      row.mediaId,
    ]);
    return { items: await mediaViews(reads, items), next };
  }
}
