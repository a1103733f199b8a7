import { createHash, timingSafeEqual } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { type FileHandle, open, readdir, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { Inject, Injectable, type OnModuleDestroy, type OnModuleInit } from '@nestjs/common';
import {
  Archive,
  type Asking,
  entryAt,
  findRow,
  isRefusedForGood,
  type MullionConfig,
  mediaView,
  uuidOfName,
  uuidV7,
} from '#libs/archive';
import { type ObjectStore, ObjectStoreError } from '#libs/objects';
import { Problem } from '#libs/problem';
import { CONFIG, OBJECTS } from '../platform/tokens.js';
import type { SaidOfFile } from './flat-description.js';
import { HashThread, type ThreadHash } from './hash-thread.js';
import { Intake, type TakenMedia } from './intake.service.js';
import { appendHashed, flushAndClose, isBrokenOff } from './receive-file.js';
import type { TusChecksum } from './tus-metadata.js';
import { type UploadRow, UploadStore } from './upload.store.js';

const KEPT_MS = 7 * 24 * 60 * 60 * 1000;
const SWEEP_MS = 60 * 60 * 1000;
/** Another server on the same folder may be receiving: younger files are left alone. */
const ORPHAN_MS = 60 * 60 * 1000;
const UNVERIFIED = '.unverified';

export interface UploadState {
  uploadId: string;
  lengthBytes: number;
  offsetBytes: number;
  expires: Date;
  /** set once the upload is attached */
  media: TakenMedia | undefined;
}

/** What is known of a file before its first byte. */
export interface AnnouncedUpload {
  readonly siteId: string;
  readonly said: SaidOfFile;
  readonly lengthBytes: number;
  readonly personId: string;
  readonly idempotencyKey: string | undefined;
  /** `sha256:<hex>` that the sender computed; other bytes are not attached */
  readonly expectedDigest: string | undefined;
}

/** Hash of the first `atBytes` bytes of an upload, kept so that the end need not read them again. */
interface RunningHash {
  hash: ThreadHash;
  atBytes: number;
}

/** Else the bytes are read again from the file. */
const isUpTo = (running: RunningHash | undefined, bytes: number): running is RunningHash =>
  running?.atBytes === bytes && running.hash.isAlive;

/** How far an upload is. */
interface Progress {
  offsetBytes: number;
  /** flush of the part that just came; left out: nothing was written in this request */
  flushed?: Promise<void>;
}

/**
 * Resumable uploads (tus 1.0: core, creation, checksum, termination, expiration).
 *
 * An upload is one file that grows; its length is the offset. Each part is flushed to the disk before
 * it is acknowledged. The last part stores the object and attaches it in the same step.
 */
@Injectable()
export class Uploads implements OnModuleInit, OnModuleDestroy {
  private readonly hashes = new Map<string, RunningHash>();
  /** part that is being received: a phone that lost its line comes back before we notice */
  private readonly busy = new Map<string, { done: Promise<unknown>; body: Readable | undefined }>();
  private sweeper: NodeJS.Timeout | undefined;

  constructor(
    private readonly archive: Archive,
    private readonly store: UploadStore,
    private readonly intake: Intake,
    private readonly hashing: HashThread,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
    @Inject(CONFIG) private readonly config: MullionConfig,
  ) {}

  async onModuleInit(): Promise<void> {
    await this.sweepOrphans();
    await this.sweep();
    this.sweeper = setInterval(() => {
      this.sweep().catch((error: unknown) => {
        console.error('old uploads were not cleared away:', error);
      });
    }, SWEEP_MS);
    this.sweeper.unref();
  }

  onModuleDestroy(): void {
    clearInterval(this.sweeper);
  }

  get maxBytes(): number {
    return this.config.maxUploadBytes;
  }

  /**
   * Begins an upload. With a key, the same person beginning it again gets the upload of before, however
   * far it is, so that an answer that was lost leaves nothing behind.
   *
   * @throws {Problem} `idempotency-key-reused` where the key stands for another file, and those of `check`
   */
  async begin(announced: AnnouncedUpload, asking: Asking): Promise<UploadState> {
    const { siteId, said, lengthBytes, personId, idempotencyKey, expectedDigest } = announced;
    await this.intake.check(siteId, said);
    const row: UploadRow = {
      uploadId:
        idempotencyKey === undefined
          ? uuidV7(Date.now())
          : uuidOfName('upload', personId, idempotencyKey),
      personId,
      siteId,
      lengthBytes,
      metadata: { said, ...(expectedDigest === undefined ? {} : { expectedDigest }) },
      startedAt: new Date(),
      mediaId: null,
    };
    return this.alone(row.uploadId, undefined, async () => {
      const before = idempotencyKey === undefined ? undefined : await this.store.find(row.uploadId);
      if (before !== undefined) {
        if (!isSameFile(before, row)) {
          throw new Problem(
            'idempotency-key-reused',
            'Idempotency-Key: this key was used for another file. Use a new key for a new file.',
            { field: 'Idempotency-Key' },
          );
        }
        const offsetBytes = await this.offsetOf(before);
        return this.state(before, offsetBytes, await this.ended(before, { offsetBytes }, asking));
      }
      // A file of that name without a row was left by a server that ended in between: it is empty.
      await (await open(await this.path(row.uploadId), 'w', 0o600)).close();
      const folder = await this.intake.folder();
      await Promise.all([this.store.add(row), flushFile(folder)]);
      return this.state(row, 0, undefined);
    });
  }

  /** How far it is. An end that was interrupted is taken up first. */
  async look(uploadId: string, personId: string, asking: Asking): Promise<UploadState> {
    return this.alone(uploadId, undefined, async () => {
      const row = await this.own(uploadId, personId);
      const offsetBytes = await this.offsetOf(row);
      return this.state(row, offsetBytes, await this.ended(row, { offsetBytes }, asking));
    });
  }

  /**
   * Appends a part.
   *
   * @throws {Problem} `upload-offset`, `upload-checksum`, `upload-done`, `file-refused`, …
   */
  async append(
    uploadId: string,
    part: { offsetBytes: number; body: Readable; checksum: TusChecksum | undefined },
    personId: string,
    asking: Asking,
  ): Promise<UploadState> {
    return this.alone(uploadId, part.body, async () => {
      const row = await this.own(uploadId, personId);
      if (row.mediaId !== null) {
        throw new Problem('upload-done', 'This upload is complete. Nothing needs to be sent.');
      }
      const offsetBytes = await this.offsetOf(row);
      if (part.offsetBytes !== offsetBytes) {
        throw new Problem(
          'upload-offset',
          `Upload-Offset: the upload stands at ${offsetBytes}, the part starts at ${part.offsetBytes}. Ask with HEAD and go on from there.`,
          { field: 'Upload-Offset', offsetBytes },
        );
      }
      // a whole file may be the store's by now and is not opened for writing any more
      const now =
        offsetBytes === row.lengthBytes
          ? { offsetBytes }
          : await this.receive(row, offsetBytes, part);
      return this.state(row, now.offsetBytes, await this.ended(row, now, asking));
    });
  }

  /** Gives an upload up; what it sent is removed. */
  async end(uploadId: string, personId: string): Promise<void> {
    await this.alone(uploadId, undefined, async () => {
      await this.own(uploadId, personId);
      await this.discard(uploadId);
    });
  }

  /** Removes uploads that nobody went on with for a week. */
  async sweep(): Promise<void> {
    for (const uploadId of await this.store.startedBefore(new Date(Date.now() - KEPT_MS))) {
      await this.alone(uploadId, undefined, () => this.discard(uploadId));
    }
  }

  /**
   * Files that no upload knows, which a plain upload had received when the server was killed, and those
   * of uploads that were attached just before it was.
   */
  private async sweepOrphans(): Promise<void> {
    const folder = await this.intake.folder();
    for (const name of await readdir(folder)) {
      const row = isUploadId(name) ? await this.store.find(name) : undefined;
      const path = join(folder, name);
      if (row !== undefined && row.mediaId !== null) await rm(path, { force: true });
      if (row !== undefined || name.endsWith(UNVERIFIED)) continue;
      const { mtimeMs } = await stat(path).catch(() => ({ mtimeMs: Infinity }));
      if (Date.now() - mtimeMs > ORPHAN_MS) await rm(path, { force: true });
    }
  }

  private async discard(uploadId: string): Promise<void> {
    this.forgetHash(uploadId);
    await rm(await this.path(uploadId), { force: true });
    await rm(await this.markerPath(uploadId), { force: true });
    await this.store.remove(uploadId);
  }

  /** One part at a time; a newcomer breaks off the part before it, which keeps what arrived. */
  private async alone<T>(
    uploadId: string,
    body: Readable | undefined,
    work: () => Promise<T>,
  ): Promise<T> {
    for (;;) {
      const other = this.busy.get(uploadId);
      if (other === undefined) break;
      other.body?.destroy();
      await other.done.catch(() => undefined); // its own request is told
    }
    const done = work();
    this.busy.set(uploadId, { done, body });
    try {
      return await done;
    } finally {
      this.busy.delete(uploadId);
    }
  }

  /** Somebody else's upload looks like none. */
  private async own(uploadId: string, personId: string): Promise<UploadRow> {
    const row = await this.store.find(uploadId);
    if (row?.personId !== personId) {
      throw new Problem('upload-unknown', 'It ended, expired or never was. Begin the upload anew.');
    }
    return row;
  }

  private async offsetOf(row: UploadRow): Promise<number> {
    if (row.mediaId !== null || row.metadata.digest !== undefined) return row.lengthBytes;
    const path = await this.path(row.uploadId);
    // the folder was lost or left out of a backup: what is sent begins anew under the same address
    if ((await stat(path).catch(() => undefined)) === undefined) {
      await (await open(path, 'a', 0o600)).close();
      return 0;
    }
    // a whole file with a second name is an object already: it must not be cut, whatever a marker says
    const { nlink, size } = await stat(path);
    if (nlink > 1 && size === row.lengthBytes) return size;
    const marker = await stat(await this.markerPath(row.uploadId)).catch(() => undefined);
    if (marker !== undefined) {
      // the server ended while it received a part with a checksum: that part was never verified
      await this.truncate(row.uploadId, marker.size);
      await rm(await this.markerPath(row.uploadId), { force: true });
    }
    return (await stat(path)).size;
  }

  private async receive(
    row: UploadRow,
    offsetBytes: number,
    { body, checksum }: { body: Readable; checksum: TusChecksum | undefined },
  ): Promise<Required<Progress>> {
    const { uploadId } = row;
    const ofPart = checksum === undefined ? undefined : createHash(checksum.algorithm);
    if (checksum !== undefined) await this.mark(uploadId, offsetBytes);
    const handle = await open(await this.path(uploadId), 'r+');
    const running = this.hashes.get(uploadId);
    const hash = isUpTo(running, offsetBytes) ? running.hash : undefined;
    const whole = hash?.copy() ?? (offsetBytes === 0 ? this.hashing.begin() : undefined);
    this.forgetHash(uploadId);
    try {
      const maxBytes = row.lengthBytes - offsetBytes;
      const taken = await appendHashed(body, handle, offsetBytes, maxBytes, { whole, ofPart });
      if (checksum !== undefined && !timingSafeEqual(ofPart!.digest(), checksum.digest)) {
        throw new Problem(
          'upload-checksum',
          'Upload-Checksum: the part that arrived is another than announced. Nothing of it was kept; send it again.',
          { field: 'Upload-Checksum' },
        );
      }
      if (whole !== undefined)
        this.hashes.set(uploadId, { hash: whole, atBytes: offsetBytes + taken });
      const flushed = flushAndClose(handle).then(() => this.unmark(uploadId, checksum));
      flushed.catch(() => undefined); // told to whoever awaits it
      return { offsetBytes: offsetBytes + taken, flushed };
    } catch (error) {
      whole?.end();
      await this.keepWhatCame(handle, checksum, offsetBytes).finally(() => handle.close());
      await this.unmark(uploadId, checksum);
      throw isBrokenOff(error)
        ? new Problem(
            'upload-truncated',
            'The connection ended before the part did. Ask with HEAD and go on from there.',
            {},
            { cause: error },
          )
        : error;
    }
  }

  /** A part without checksum is kept as far as it came; one with a checksum was not verified. */
  private async keepWhatCame(
    handle: FileHandle,
    checksum: TusChecksum | undefined,
    offsetBytes: number,
  ): Promise<void> {
    if (checksum !== undefined) await handle.truncate(offsetBytes);
    await handle.sync();
  }

  /** Stores and attaches once the last byte is there; repeating it changes nothing. */
  private async ended(
    row: UploadRow,
    { offsetBytes, flushed }: Progress,
    asking: Asking,
  ): Promise<TakenMedia | undefined> {
    const { uploadId, siteId, metadata } = row;
    const path = await this.path(uploadId);
    if (row.mediaId !== null) {
      // the server ended after the entry and before it cleared up
      await rm(path, { force: true });
      return this.attached(row.mediaId);
    }
    if (offsetBytes < row.lengthBytes) {
      await flushed;
      return undefined;
    }
    if (metadata.digest !== undefined) await this.fetchBack(path, metadata.digest);
    const digest = metadata.digest ?? (await this.digestOf(row, path));
    if (metadata.expectedDigest !== undefined && metadata.expectedDigest !== digest) {
      await this.discard(uploadId);
      throw new Problem(
        'upload-checksum',
        'sha256: the bytes that arrived are not the ones announced. Nothing was attached; send the file again from the start.',
        { field: 'sha256' },
      );
    }
    const remembered = this.store.rememberDigest(uploadId, digest);
    // Awaited below; a refusal in between must not leave it without a listener.
    remembered.catch(() => undefined);
    try {
      const { media } = await this.intake.take(
        { path, digest, sizeBytes: row.lengthBytes, flushed: flushed ?? flushFile(path) },
        siteId,
        metadata.said,
        { ...asking, idempotencyKey: `upload/${uploadId}`, uploadId },
      );
      await remembered;
      if (media.already !== null) await this.store.rememberMedia(uploadId, media.mediaId);
      this.forgetHash(uploadId);
      return media;
    } catch (error) {
      await remembered.catch(() => undefined); // what was refused counts
      if (isRefusedForGood(error)) await this.discard(uploadId);
      throw error;
    }
  }

  /** An upload that was whole when its archive was backed up: its bytes are in the store alone. */
  private async fetchBack(path: string, digest: string): Promise<void> {
    if ((await stat(path).catch(() => undefined)) !== undefined) return;
    try {
      const aside = `${path}.back`;
      await writeFile(aside, await this.objects.read(digest), { mode: 0o600 });
      await rename(aside, path);
    } catch (error) {
      if (!(error instanceof ObjectStoreError)) throw error;
      throw new Problem(
        'upload-unknown',
        'What was sent is gone. Begin the upload anew.',
        {},
        { cause: error },
      );
    }
  }

  private async digestOf(row: UploadRow, path: string): Promise<string> {
    const running = this.hashes.get(row.uploadId);
    if (isUpTo(running, row.lengthBytes)) {
      return `sha256:${(await running.hash.digest()).toString('hex')}`;
    }
    const hash = createHash('sha256');
    for await (const chunk of createReadStream(path)) hash.update(chunk as Buffer);
    return `sha256:${hash.digest('hex')}`;
  }

  private forgetHash(uploadId: string): void {
    this.hashes.get(uploadId)?.hash.end();
    this.hashes.delete(uploadId);
  }

  private async attached(mediaId: string): Promise<TakenMedia | undefined> {
    const row = await findRow(this.archive.reads, 'media', { mediaId });
    if (row === undefined) return undefined;
    return {
      ...(await mediaView(this.archive.reads, row)),
      entry: entryAt(row.siteId, Number(row.entrySeq)),
      notes: [],
      already: null,
    };
  }

  /** A file as long as the verified offset: its length is the note, so it needs no reading. */
  private async mark(uploadId: string, offsetBytes: number): Promise<void> {
    const handle = await open(await this.markerPath(uploadId), 'w', 0o600);
    try {
      await handle.truncate(offsetBytes);
      await handle.sync();
    } finally {
      await handle.close();
    }
  }

  private async unmark(uploadId: string, checksum: TusChecksum | undefined): Promise<void> {
    if (checksum !== undefined) await rm(await this.markerPath(uploadId), { force: true });
  }

  private async truncate(uploadId: string, sizeBytes: number): Promise<void> {
    const handle = await open(await this.path(uploadId), 'r+');
    try {
      await handle.truncate(sizeBytes);
      await handle.sync();
    } finally {
      await handle.close();
    }
  }

  private async path(uploadId: string): Promise<string> {
    return join(await this.intake.folder(), uploadId);
  }

  private async markerPath(uploadId: string): Promise<string> {
    return `${await this.path(uploadId)}${UNVERIFIED}`;
  }

  private state(row: UploadRow, offsetBytes: number, media: TakenMedia | undefined): UploadState {
    const { uploadId, lengthBytes, startedAt } = row;
    return {
      uploadId,
      lengthBytes,
      offsetBytes,
      expires: new Date(startedAt.getTime() + KEPT_MS),
      media,
    };
  }
}

function isSameFile(before: UploadRow, row: UploadRow): boolean {
  return (
    before.siteId === row.siteId &&
    before.lengthBytes === row.lengthBytes &&
    before.metadata.expectedDigest === row.metadata.expectedDigest
  );
}

async function flushFile(path: string): Promise<void> {
  await flushAndClose(await open(path, 'r'));
}

function isUploadId(name: string): boolean {
  return /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(name);
}
