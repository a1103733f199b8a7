import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Inject, Injectable } from '@nestjs/common';
import {
  Archive,
  type Asking,
  attachMedia,
  checkedDescription,
  checkKind,
  entryAt,
  findAttached,
  isRefusedForGood,
  type MediaAnswer,
  type MullionConfig,
  mediaView,
  refuseWithdrawn,
  type Written,
} from '#libs/archive';
import { Imaging, ImagingError, type Probe } from '#libs/imaging';
import { entryName } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { CONFIG, OBJECTS } from '../platform/tokens.js';
import type { SaidOfFile } from './flat-description.js';
import type { ReceivedFile } from './receive-file.js';

/** The record, and what a person should know of how the file was taken. */
export type TakenMedia = MediaAnswer &
  Written & {
    notes: string[];
    /** set when the very bytes were there before under the same marks */
    already: string | null;
  };

/** What an entry may hold beside its frame, see ENTRY_BYTES_MAX of libs/ledger. */
const SAID_BYTES_MAX = 14_000;

/** The one way of a file into the archive: read, stored durably, then attached by a command. */
@Injectable()
export class Intake {
  constructor(
    private readonly archive: Archive,
    private readonly imaging: Imaging,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
    @Inject(CONFIG) private readonly config: MullionConfig,
  ) {}

  /** Private folder for bytes on their way; on the same disk as a store in the home. */
  async folder(): Promise<string> {
    const folder = join(this.config.home, 'uploads');
    await mkdir(folder, { recursive: true, mode: 0o700 });
    return folder;
  }

  /**
   * What can be refused before any byte has come.
   *
   * @throws {Problem} `site-unknown`, `subject-unknown`, `date-invalid`, `entry-too-large`
   */
  async check(siteId: string, said: SaidOfFile): Promise<void> {
    await checkedDescription(this.archive.reads, siteId, said.description, 'image/*');
    const bytes = Buffer.byteLength(JSON.stringify(said));
    if (bytes <= SAID_BYTES_MAX) return;
    throw new Problem(
      'entry-too-large',
      `note, subjects: what is said of the file takes ${bytes} bytes; at most ${SAID_BYTES_MAX} go into one entry. Shorten the note or name fewer marks.`,
      { field: 'note' },
    );
  }

  /**
   * Takes a received file in. The file stays until the entry is committed, so that a resumable upload
   * can be ended after a crash. It is gone afterwards, taken or refused, unless it is a resumable one
   * that the archive could not write.
   *
   * @param uploadId resumable upload that ends with this, noted in the entry's own transaction
   * @throws {Problem} `file-refused`, `object-withdrawn`, `request-invalid`: then nothing was written; and
   *   those of `attachMedia`
   */
  async take(
    file: ReceivedFile,
    siteId: string,
    said: SaidOfFile,
    asking: Asking & { uploadId?: string },
  ): Promise<{ media: TakenMedia; status: number }> {
    let isKept = false;
    try {
      // a resumable upload may have begun days ago
      if (asking.uploadId !== undefined) await this.check(siteId, said);
      const probe = await this.acceptable(file, said);
      const { digest, sizeBytes } = await this.objects.putFile(file.path, file, {
        retain: 'original',
        flushed: file.flushed,
        keepsSource: true,
      });
      await file.flushed;
      const { uploadId } = asking;
      const body = {
        ...said.description,
        siteId,
        fileName: said.fileName,
        asReceived: said.asReceived,
        file: { ...recordOf(probe), digest, sizeBytes },
        ...(uploadId === undefined ? {} : { uploadId }),
      };
      const { answer, status } = await this.archive.run(attachMedia, body, asking);
      return { media: { ...answer, notes: probe.notes, already: null }, status };
    } catch (error) {
      if (error instanceof Problem && error.code === 'media-attached') {
        return { media: await this.attached(file.digest, siteId, said), status: 200 };
      }
      isKept = asking.uploadId !== undefined && !isRefusedForGood(error);
      throw error;
    } finally {
      if (!isKept) await rm(file.path, { force: true });
    }
  }

  /** Read and checked while the disk still flushes it. */
  private async acceptable(file: ReceivedFile, said: SaidOfFile): Promise<Probe> {
    const withdrawn = refuseWithdrawn(this.archive.reads, file.digest);
    withdrawn.catch(() => undefined); // told below, unless the file is refused first
    const probe = await this.probe(file, said);
    checkKind(said.description, probe.contentType);
    await withdrawn;
    return probe;
  }

  private async probe(file: ReceivedFile, said: SaidOfFile): Promise<Probe> {
    try {
      return await this.imaging.probe(file.path, {
        fileName: said.fileName,
        ...(said.declaredType === undefined ? {} : { declaredType: said.declaredType }),
      });
    } catch (error) {
      if (!(error instanceof ImagingError)) throw error;
      throw new Problem(
        'file-refused',
        error.message,
        { field: 'file', fault: error.fault, fileName: said.fileName },
        { cause: error },
      );
    }
  }

  private async attached(digest: string, siteId: string, said: SaidOfFile): Promise<TakenMedia> {
    const { reads } = this.archive;
    const { subjects } = await checkedDescription(reads, siteId, said.description, 'image/*');
    const row = (await findAttached(reads, siteId, digest, subjects))!;
    const entry = entryAt(siteId, Number(row.entrySeq));
    return {
      ...(await mediaView(reads, row)),
      entry,
      notes: [],
      already: `already in the archive, ${entryName(Number(row.entrySeq))}`,
    };
  }
}

/** The part of what was found that goes into the entry. */
function recordOf({ contentType, widthPx, heightPx, orientation, notes, ...rest }: Probe) {
  const { bitsPerSample, colourSpace, exif } = rest;
  return { contentType, widthPx, heightPx, orientation, notes, bitsPerSample, colourSpace, exif };
}
