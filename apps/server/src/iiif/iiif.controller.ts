import { Controller, Inject, Res } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { isAtLeast, type MullionConfig, unknown } from '#libs/archive';
import { Problem } from '#libs/problem';
import { type Actor, roleOf } from '../platform/actor.js';
import { Asked, type AskedFor, Route, route } from '../platform/route.js';
import { CONFIG } from '../platform/tokens.js';
import { readImageRequest } from './image-request.js';
import { type Pyramid, Pyramids } from './pyramids.service.js';

const IMMUTABLE = 'private, max-age=31536000, immutable';
const CONTEXT = 'http://iiif.io/api/image/3/context.json';
const TYPES = { jpg: 'image/jpeg', png: 'image/png', webp: 'image/webp' } as const;
/** Two sheets at 300 dpi; a larger cut is asked for in parts. */
const MAX_AREA_PX = 32_000_000;

const base = route({
  method: 'GET',
  path: '/iiif/3/{mediaId}',
  tag: 'pictures',
  summary: 'Leads to info.json (IIIF Image API 3.0 section 2)',
  access: 'reader',
  status: 303,
  problems: ['media-unknown'],
});

const info = route({
  method: 'GET',
  path: '/iiif/3/{mediaId}/info.json',
  tag: 'pictures',
  summary: 'Size and tiles of a picture (IIIF Image API 3.0 section 5)',
  access: 'reader',
  answer: z.record(z.string(), z.unknown()),
  problems: ['media-unknown', 'tile-unavailable'],
});

const image = route({
  method: 'GET',
  path: '/iiif/3/{mediaId}/{region}/{size}/{rotation}/{file}',
  tag: 'pictures',
  summary: 'A cut of a picture (IIIF Image API 3.0 section 4); file is quality.format',
  access: 'reader',
  answerTypes: Object.values(TYPES),
  problems: ['request-invalid', 'media-unknown', 'tile-unavailable', 'tile-request-unsupported'],
});

@Controller()
export class IiifController {
  constructor(
    private readonly pyramids: Pyramids,
    @Inject(CONFIG) private readonly config: MullionConfig,
  ) {}

  @Route(base)
  leadToImageInformation(@Asked() { params, request, reply }: AskedFor<typeof base>): void {
    void reply.header('Location', `${this.idOf(params.mediaId, request)}/info.json`);
  }

  @Route(info)
  async readImageInformation(
    @Asked() { params, actor, request }: AskedFor<typeof info>,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const pyramid = await this.readable(actor, params.mediaId);
    const wantsLinkedData = request.headers.accept?.includes('application/ld+json') === true;
    const type = wantsLinkedData ? `application/ld+json;profile="${CONTEXT}"` : 'application/json';
    if (isKnown(pyramid, request, reply)) return reply.status(304).send();
    const information = informationOf(pyramid, this.idOf(params.mediaId, request));
    // as bytes: a text would be given a charset, which JSON has not
    await reply.header('Content-Type', type).send(Buffer.from(JSON.stringify(information)));
  }

  @Route(image)
  async readImage(
    @Asked() { params, actor, request }: AskedFor<typeof image>,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const pyramid = await this.readable(actor, params.mediaId);
    const { region, size, rotation, file } = params;
    const [quality = '', format = '', ...more] = file.split('.');
    if (more.length > 0 || format === '') {
      throw new Problem('request-invalid', 'file: ask for quality.format, e.g. default.jpg.', {
        field: 'file',
      });
    }
    const { widthPx, heightPx } = pyramid;
    const plan = readImageRequest(
      { region, size, rotation, quality, format },
      { widthPx, heightPx, maxAreaPx: MAX_AREA_PX },
    );
    if (isKnown(pyramid, request, reply)) return reply.status(304).send();
    const bytes = await this.pyramids.picture(pyramid, plan);
    await reply.type(TYPES[plan.format]).send(bytes);
  }

  private async readable(actor: Actor, mediaId: string): Promise<Pyramid> {
    const pyramid = await this.pyramids.ofMedia(mediaId).catch((error: unknown) => {
      // whether a picture is there is nobody's business without a role at its site
      if (error instanceof Problem && !isReader(actor, error.members['siteId'])) {
        throw unknown('media');
      }
      throw error;
    });
    if (pyramid === undefined || !isReader(actor, pyramid.siteId)) throw unknown('media');
    return pyramid;
  }

  private idOf(mediaId: string, request: FastifyRequest): string {
    const origin = this.config.publicUrl ?? `${request.protocol}://${request.host}`;
    return `${origin.replace(/\/$/, '')}/iiif/3/${mediaId}`;
  }
}

function isReader(actor: Actor, siteId: unknown): boolean {
  return typeof siteId === 'string' && isAtLeast(roleOf(actor, siteId), 'reader');
}

/** The pyramid's digest stands for all that is cut from it, together with the address. */
function isKnown(pyramid: Pyramid, request: FastifyRequest, reply: FastifyReply): boolean {
  const etag = `"${pyramid.digest.slice(7, 39)}"`;
  void reply.headers({ ETag: etag, 'Cache-Control': IMMUTABLE });
  return request.headers['if-none-match'] === etag;
}

function informationOf({ widthPx, heightPx, table }: Pyramid, id: string) {
  const scaleFactors = table.levels.map((_, level) => 2 ** level);
  return {
    '@context': CONTEXT,
    id,
    type: 'ImageService3',
    protocol: 'http://iiif.io/api/image',
    profile: 'level2',
    width: widthPx,
    height: heightPx,
    maxArea: MAX_AREA_PX,
    sizes: scaleFactors
      .map((scale) => ({ width: Math.ceil(widthPx / scale), height: Math.ceil(heightPx / scale) }))
      .reverse(),
    tiles: [{ width: table.tilePx, scaleFactors }],
    preferredFormats: ['jpg'],
    extraFormats: ['webp'],
    extraQualities: ['color', 'gray', 'bitonal'],
    extraFeatures: ['mirroring', 'sizeUpscaling'],
  };
}
