import { Controller, HttpCode, Options, Res } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { parsed } from '#libs/archive';
import { Problem } from '#libs/problem';
import { actorOf, askingOf, idempotencyKeyOf, needRole } from '../platform/actor.js';
import { Asked, type AskedFor, Route, route } from '../platform/route.js';
import { readFlatDescription } from './flat-description.js';
import { readTusChecksum, readTusMetadata } from './tus-metadata.js';
import { type UploadState, Uploads } from './uploads.service.js';

const VERSION = '1.0.0';
const PART_TYPE = 'application/offset+octet-stream';

const announcedSchema = z.object({
  siteId: z.uuid(),
  sha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/, 'expected 64 lower-case hexadecimal digits')
    .optional(),
});

const begin = route({
  method: 'POST',
  path: '/v1/uploads',
  tag: 'media',
  summary: 'Begins a resumable upload (tus 1.0); what the file is stands in Upload-Metadata',
  access: 'signed-in',
  status: 201,
  problems: [
    'request-invalid',
    'tus-version',
    'body-too-large',
    'site-unknown',
    'role-insufficient',
    'subject-unknown',
    'date-invalid',
    'entry-too-large',
    'idempotency-key-reused',
  ],
});

const look = route({
  method: 'HEAD',
  path: '/v1/uploads/{uploadId}',
  tag: 'media',
  summary: 'How far a resumable upload is',
  access: 'signed-in',
  problems: ['tus-version', 'upload-unknown'],
});

const append = route({
  method: 'PATCH',
  path: '/v1/uploads/{uploadId}',
  tag: 'media',
  summary: 'Sends the next part; the last one attaches the file and answers where it stands',
  access: 'signed-in',
  status: 204,
  bodyTypes: [PART_TYPE],
  problems: [
    'request-invalid',
    'tus-version',
    'media-type-unsupported',
    'upload-unknown',
    'upload-offset',
    'upload-checksum',
    'upload-done',
    'upload-truncated',
    'file-refused',
  ],
});

const giveUp = route({
  method: 'DELETE',
  path: '/v1/uploads/{uploadId}',
  tag: 'media',
  summary: 'Gives a resumable upload up',
  access: 'signed-in',
  status: 204,
  problems: ['tus-version', 'upload-unknown'],
});

/** tus 1.0 over HTTP; the words in quotes are the protocol's. */
@Controller()
export class TusController {
  constructor(private readonly uploads: Uploads) {}

  /** "OPTIONS … to gather information about the Server's current configuration" */
  @Options('/v1/uploads')
  @HttpCode(204)
  options(@Res() reply: FastifyReply): void {
    void reply
      .headers({
        'Tus-Resumable': VERSION,
        'Tus-Version': VERSION,
        'Tus-Extension': 'creation,checksum,termination,expiration',
        'Tus-Checksum-Algorithm': 'sha256,sha1',
        'Tus-Max-Size': String(this.uploads.maxBytes),
      })
      .status(204)
      .send();
  }

  @Route(begin)
  async beginUpload(@Asked() { actor, request, reply }: AskedFor<typeof begin>): Promise<void> {
    speaksTus(request, reply);
    const lengthBytes = countHeader(request, 'upload-length');
    if (lengthBytes === 0) {
      throw new Problem(
        'request-invalid',
        'Upload-Length: a file without bytes is not taken. Save or export it again, then send it.',
        { field: 'Upload-Length' },
      );
    }
    if (lengthBytes > this.uploads.maxBytes) {
      throw new Problem(
        'body-too-large',
        `Upload-Length: ${lengthBytes} bytes are more than the ${this.uploads.maxBytes} taken here. Send a smaller file.`,
        { field: 'Upload-Length', maxBytes: this.uploads.maxBytes },
      );
    }
    const { siteId: site, sha256, ...flat } = readTusMetadata(headerOf(request, 'upload-metadata'));
    const ofUpload = parsed(announcedSchema, { siteId: site, sha256 }, 'Upload-Metadata');
    const { siteId } = ofUpload;
    needRole(actor, siteId, 'recorder');
    const said = readFlatDescription(flat, 'Upload-Metadata');
    const state = await this.uploads.begin(
      {
        siteId,
        said,
        lengthBytes,
        personId: actor.personId,
        idempotencyKey: idempotencyKeyOf(request),
        expectedDigest: ofUpload.sha256 === undefined ? undefined : `sha256:${ofUpload.sha256}`,
      },
      askingOf(request),
    );
    void reply.headers({ Location: `/v1/uploads/${state.uploadId}`, ...stateHeaders(state) });
  }

  @Route(look)
  async lookAtUpload(
    @Asked() { params, actor, request, reply }: AskedFor<typeof look>,
  ): Promise<void> {
    speaksTus(request, reply);
    void reply.header('Cache-Control', 'no-store');
    const state = await this.uploads.look(params.uploadId, actor.personId, askingOf(request));
    void reply.headers(stateHeaders(state));
  }

  @Route(append)
  async appendToUpload(
    @Asked() { params, request, reply }: AskedFor<typeof append>,
  ): Promise<void> {
    speaksTus(request, reply);
    const type = headerOf(request, 'content-type')?.split(';')[0]?.trim().toLowerCase();
    if (type !== PART_TYPE) {
      throw new Problem('media-type-unsupported', `Content-Type: send parts as ${PART_TYPE}.`, {
        field: 'Content-Type',
      });
    }
    const part = {
      offsetBytes: countHeader(request, 'upload-offset'),
      body: request.raw,
      checksum: readTusChecksum(headerOf(request, 'upload-checksum')),
    };
    const state = await this.uploads.append(
      params.uploadId,
      part,
      actorOf(request).personId,
      askingOf(request),
    );
    void reply.headers(stateHeaders(state));
  }

  @Route(giveUp)
  async giveUpUpload(
    @Asked() { params, actor, request, reply }: AskedFor<typeof giveUp>,
  ): Promise<void> {
    speaksTus(request, reply);
    await this.uploads.end(params.uploadId, actor.personId);
  }
}

/** "MUST include the Tus-Resumable header … If the version … is not supported … 412" */
function speaksTus(request: FastifyRequest, reply: FastifyReply): void {
  void reply.headers({ 'Tus-Resumable': VERSION });
  if (headerOf(request, 'tus-resumable') === VERSION) return;
  void reply.header('Tus-Version', VERSION);
  throw new Problem('tus-version', `Tus-Resumable: send ${VERSION}.`, { field: 'Tus-Resumable' });
}

function stateHeaders(state: UploadState): Record<string, string> {
  const { media } = state;
  return {
    'Upload-Offset': String(state.offsetBytes),
    'Upload-Length': String(state.lengthBytes),
    ...(media === undefined
      ? { 'Upload-Expires': state.expires.toUTCString() }
      : {
          'Mullion-Media-Id': media.mediaId,
          'Mullion-Digest': media.digest,
          'Mullion-Entry': `${media.entry.logId}/${media.entry.seq}`,
          ...(media.already === null ? {} : { 'Mullion-Already': 'true' }),
        }),
  };
}

function countHeader(request: FastifyRequest, name: string): number {
  const text = headerOf(request, name);
  const count = text !== undefined && /^\d{1,15}$/.test(text) ? Number(text) : undefined;
  if (count !== undefined) return count;
  const field = name.replace(/(^|-)[a-z]/g, (letter) => letter.toUpperCase());
  throw new Problem('request-invalid', `${field}: send a whole number of bytes.`, { field });
}

function headerOf(request: FastifyRequest, name: string): string | undefined {
  const value = request.headers[name];
  return Array.isArray(value) ? value[0] : value;
}
