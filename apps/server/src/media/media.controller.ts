import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { Controller, Inject, Res } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import {
  Archive,
  describeMedia,
  type MediaRow,
  type MullionConfig,
  mediaAnswer,
  mediaDescription,
  refuseWithdrawn,
  STAGES,
  withdrawMedia,
  withdrawMediaBody,
  writtenShape,
} from '#libs/archive';
import type { ObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { askingOf, needRole } from '../platform/actor.js';
import { pageOf, pageQuery } from '../platform/paging.js';
import { Asked, type AskedFor, Route, route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { CONFIG, OBJECTS } from '../platform/tokens.js';
import { readByteRange } from './byte-range.js';
import { readContentDigest } from './content-digest.js';
import { flatDescription, readFlatDescription } from './flat-description.js';
import { HashThread } from './hash-thread.js';
import { Intake } from './intake.service.js';
import { MediaService } from './media.service.js';
import { receiveFile } from './receive-file.js';

const takenAnswer = mediaAnswer.extend({
  ...writtenShape,
  notes: z.array(z.string()).describe('what a person should know of how the file was taken'),
  already: z.string().nullable().describe('set when the very bytes were there before'),
});

const upload = route({
  method: 'PUT',
  path: '/v1/sites/{siteId}/media',
  tag: 'media',
  summary: 'Sends a picture or document in one go; what it is stands in the query',
  access: 'recorder',
  query: flatDescription,
  bodyTypes: ['application/octet-stream'],
  answer: takenAnswer,
  status: 201,
  problems: [
    'request-invalid',
    'body-too-large',
    'media-type-unsupported',
    'upload-truncated',
    'upload-digest-mismatch',
    'file-refused',
    'object-withdrawn',
    'subject-unknown',
    'date-invalid',
    'entry-too-large',
    'site-unknown',
    'role-insufficient',
  ],
});

const read = route({
  method: 'GET',
  path: '/v1/media/{mediaId}',
  tag: 'media',
  summary: 'What is recorded of a picture or document',
  access: 'reader',
  answer: mediaAnswer,
  problems: ['media-unknown'],
});

const describe = route({
  method: 'PUT',
  path: '/v1/media/{mediaId}',
  tag: 'media',
  summary: 'Says anew what a picture or document shows',
  access: 'recorder',
  body: mediaDescription,
  answer: mediaAnswer.extend(writtenShape),
  revises: 'required',
  problems: [
    'request-invalid',
    'media-unknown',
    'role-insufficient',
    'subject-unknown',
    'date-invalid',
    'stale-version',
    'version-required',
  ],
});

const original = route({
  method: 'GET',
  path: '/v1/media/{mediaId}/original',
  tag: 'media',
  summary: 'The bytes as they came; Range is honoured',
  access: 'reader',
  answerTypes: ['application/octet-stream'],
  problems: ['media-unknown', 'range-outside', 'object-withdrawn'],
});

const withdraw = route({
  method: 'POST',
  path: '/v1/media/{mediaId}/withdraw',
  tag: 'media',
  summary: 'Destroy the bytes of a picture or document; digest, reason and what was recorded stay',
  access: 'keeper',
  body: withdrawMediaBody,
  answer: mediaAnswer.extend(writtenShape),
  problems: [
    'request-invalid',
    'media-unknown',
    'role-insufficient',
    'media-withdrawn',
    'media-shared',
    'idempotency-key-reused',
  ],
});

const list = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/media',
  tag: 'media',
  summary: 'Pictures and documents of a site, newest first',
  access: 'reader',
  query: pageQuery.extend({
    subject: z.string().max(64).optional().describe('mark; finds what lies below it too'),
    kind: mediaDescription.shape.kind.optional(),
    stage: z.enum(STAGES).optional(),
  }),
  answer: pageOf(mediaAnswer),
  problems: ['site-unknown', 'request-invalid'],
});

@Controller()
export class MediaController {
  constructor(
    private readonly archive: Archive,
    private readonly media: MediaService,
    private readonly intake: Intake,
    private readonly hashing: HashThread,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
    @Inject(CONFIG) private readonly config: MullionConfig,
  ) {}

  @Route(upload)
  async uploadMedia(
    @Asked() { params, query, actor, request }: AskedFor<typeof upload>,
    // 201 or, for bytes that were there before, 200
    @Res() reply: FastifyReply,
  ): Promise<void> {
    needRole(actor, params.siteId, 'recorder');
    if (/^application\/(?:[\w.+-]+\+)?json\b/i.test(request.headers['content-type'] ?? '')) {
      throw new Problem(
        'media-type-unsupported',
        'Content-Type: send the file itself, as its own type or application/octet-stream.',
        { field: 'Content-Type' },
      );
    }
    const said = readFlatDescription(request.query as Record<string, string>, 'query');
    const lengthText = request.headers['content-length'];
    const { maxUploadBytes } = this.config;
    if (lengthText !== undefined && Number(lengthText) > maxUploadBytes) {
      throw new Problem(
        'body-too-large',
        `The file has ${lengthText} bytes; at most ${maxUploadBytes} are taken here. Send a smaller file.`,
        { field: 'file', maxBytes: maxUploadBytes },
      );
    }
    const digests = readContentDigest(request.headers['content-digest'] as string | undefined);
    await this.intake.check(params.siteId, said);
    const file = await receiveFile(
      request.raw,
      join(await this.intake.folder(), `${randomUUID()}.whole`),
      this.hashing,
      {
        maxBytes: maxUploadBytes,
        digests,
        ...(lengthText === undefined ? {} : { lengthBytes: Number(lengthText) }),
      },
    );
    const declaredType = query.fileType ?? request.headers['content-type'];
    const { media, status } = await this.intake.take(
      file,
      params.siteId,
      { ...said, declaredType },
      askingOf(request),
    );
    await reply.status(status).header('ETag', `"${media.version}"`).send(media);
  }

  @Route(read)
  async readMedia(@Asked() { params, actor }: AskedFor<typeof read>) {
    return this.media.view(await this.media.one(actor, params.mediaId));
  }

  @Route(describe)
  describeMedia(@Asked() { params, body, request, reply }: AskedFor<typeof describe>) {
    return run(
      this.archive,
      describeMedia,
      { ...body, mediaId: params.mediaId },
      { request, reply },
    );
  }

  @Route(withdraw)
  withdrawMedia(@Asked() { params, body, request, reply }: AskedFor<typeof withdraw>) {
    return run(this.archive, withdrawMedia, { ...body, ...params }, { request, reply });
  }

  @Route(list)
  listMedia(@Asked() { params, query, actor }: AskedFor<typeof list>) {
    return this.media.list(actor, params.siteId, query);
  }

  @Route(original)
  async readOriginal(
    @Asked() { params, actor, request }: AskedFor<typeof original>,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const row = await this.media.one(actor, params.mediaId);
    await refuseWithdrawn(this.archive.reads, row.digest);
    await sendOriginal(this.objects, row, request, reply);
  }
}

/** RFC 9110 13 (conditions) and 14 (ranges); the digest is a strong validator. */
async function sendOriginal(
  objects: ObjectStore,
  row: MediaRow,
  request: FastifyRequest,
  reply: FastifyReply,
): Promise<void> {
  const etag = `"${row.digest}"`;
  const sizeBytes = Number(row.sizeBytes);
  void reply.headers({
    ETag: etag,
    'Accept-Ranges': 'bytes',
    'Cache-Control': 'private, max-age=31536000, immutable',
    'Content-Type': row.contentType,
    'Content-Disposition': `inline; filename*=UTF-8''${extendedValue(row.fileName)}`,
    'X-Content-Type-Options': 'nosniff',
    // a document must not run anything in our origin
    'Content-Security-Policy': "default-src 'none'; sandbox",
    // RFC 9530 section 3
    'Repr-Digest': `sha-256=:${Buffer.from(row.digest.slice(7), 'hex').toString('base64')}:`,
  });
  if (request.headers['if-none-match'] === etag) {
    await reply.status(304).send();
    return;
  }
  const ifRange = request.headers['if-range'];
  const wanted = ifRange === undefined || ifRange === etag ? request.headers.range : undefined;
  const range = readByteRange(wanted, sizeBytes);
  if (range === 'outside') {
    void reply.header('Content-Range', `bytes */${sizeBytes}`);
    throw new Problem('range-outside', `Range: the file has ${sizeBytes} bytes.`, {
      field: 'Range',
      sizeBytes,
    });
  }
  if (range === undefined) {
    void reply.header('Content-Length', sizeBytes);
    await reply.send(await objects.read(row.digest));
    return;
  }
  await reply
    .status(206)
    .headers({
      'Content-Range': `bytes ${range.start}-${range.end - 1}/${sizeBytes}`,
      'Content-Length': range.end - range.start,
    })
    .send(await objects.read(row.digest, range));
}

/** RFC 8187 section 3.2: percent-encoded UTF-8, with the four marks that encodeURIComponent leaves. */
function extendedValue(text: string): string {
  return encodeURIComponent(text).replace(
    /['()*]/g,
    (mark) => `%${mark.charCodeAt(0).toString(16).toUpperCase()}`,
  );
}
