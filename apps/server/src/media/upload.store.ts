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

  /**
   * Says under which digest the bytes of a whole upload go into the store, for the sweep and the
   * backup. The file stays until they are attached, so that nothing hangs on these words: they need
   * not be on the disk before the answer.
   */
  async rememberDigest(uploadId: string, digest: string): Promise<void> {
    await this.archive.reads.run(
      `UPDATE upload SET metadata = metadata || jsonb_build_object('digest', $2::text),
         offset_bytes = length_bytes
       FROM set_config('synchronous_commit', 'off', true) WHERE upload_id = $1`,
      [uploadId, digest],
    );
  }

  /** For an upload whose bytes were attached before; else the entry's own transaction says it. */
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
