import { Injectable } from '@nestjs/common';
import { Archive } from '#libs/archive';
import type { SaidOfFile } from './flat-description.js';

/** An upload that is under way; its offset is the length of its file. */
export interface UploadRow {
  uploadId: string;
  personId: string;
  siteId: string;
  lengthBytes: number;
  metadata: {
    said: SaidOfFile;
    digest?: string;
    /** announced by the sender */
    expectedDigest?: string;
  };
  startedAt: Date;
  mediaId: string | null;
}

/** Rows of resumable uploads. They are no projection: they end with the upload. */
@Injectable()
export class UploadStore {
  constructor(private readonly archive: Archive) {}

  async add(row: Omit<UploadRow, 'mediaId'>): Promise<void> {
    await this.archive.reads.run(
      `INSERT INTO upload (upload_id, person_id, site_id, length_bytes, metadata, started_at)
       VALUES ($1, $2, $3, $4, $5, $6)`,
      [
        row.uploadId,
        row.personId,
        row.siteId,
        row.lengthBytes,
        JSON.stringify(row.metadata),
        row.startedAt,
      ],
    );
  }

  find(uploadId: string): Promise<UploadRow | undefined> {
    return this.archive.reads.first<UploadRow>('SELECT * FROM upload WHERE upload_id = $1', [
      uploadId,
    ]);
  }

  /** Written before the bytes leave the upload folder, so that an interrupted end can be taken up. */
  async rememberDigest(uploadId: string, digest: string): Promise<void> {
    await this.archive.reads.run(
      `UPDATE upload SET metadata = metadata || jsonb_build_object('digest', $2::text),
         offset_bytes = length_bytes WHERE upload_id = $1`,
      [uploadId, digest],
    );
  }

  async rememberMedia(uploadId: string, mediaId: string): Promise<void> {
    await this.archive.reads.run('UPDATE upload SET media_id = $2 WHERE upload_id = $1', [
      uploadId,
      mediaId,
    ]);
  }

  async remove(uploadId: string): Promise<void> {
    await this.archive.reads.run('DELETE FROM upload WHERE upload_id = $1', [uploadId]);
  }

  async startedBefore(at: Date): Promise<string[]> {
    const rows = await this.archive.reads.query<{ uploadId: string }>(
      'SELECT upload_id FROM upload WHERE started_at < $1',
      [at],
    );
    return rows.map((row) => row.uploadId);
  }
}
