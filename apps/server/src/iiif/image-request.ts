import type { RenderPlan } from '#libs/imaging';
import { Problem } from '#libs/problem';

/** Size of the picture and the most that one answer may hold. */
export interface PictureSize {
  widthPx: number;
  heightPx: number;
  maxAreaPx: number;
}

type Part = 'region' | 'size' | 'rotation' | 'quality' | 'format';

/**
 * Reads `{region}/{size}/{rotation}/{quality}.{format}` of the IIIF Image API 3.0 (section 4) against
 * a picture; level 2 with mirroring, upscaling and webp.
 *
 * @throws {Problem} `request-invalid` (400) for what the standard calls an error,
 * `tile-request-unsupported` (501) for what it lets a server leave out
 */
export function readImageRequest(request: Record<Part, string>, picture: PictureSize): RenderPlan {
  const region = readRegion(request.region, picture);
  return {
    region,
    ...readSize(request.size, region, picture),
    ...readRotation(request.rotation),
    quality: oneOf('quality', request.quality, ['default', 'color', 'gray', 'bitonal']),
    format: oneOf('format', request.format, ['jpg', 'png', 'webp']),
  };
}

function readRegion(text: string, { widthPx, heightPx }: PictureSize): RenderPlan['region'] {
  if (text === 'full') return { x: 0, y: 0, widthPx, heightPx };
  if (text === 'square') {
    const side = Math.min(widthPx, heightPx);
    return {
      x: Math.floor((widthPx - side) / 2),
      y: Math.floor((heightPx - side) / 2),
      widthPx: side,
      heightPx: side,
    };
  }
  const isPercent = text.startsWith('pct:');
  const numbers = (isPercent ? text.slice(4) : text).split(',');
  const valid = isPercent ? /^\d+(\.\d+)?$/ : /^\d{1,9}$/;
  if (numbers.length !== 4 || !numbers.every((number) => valid.test(number))) {
    throw wrong('region', text, 'full, square, x,y,w,h or pct:x,y,w,h');
  }
  const [x, y, w, h] = numbers.map(Number) as [number, number, number, number];
  const left = isPercent ? Math.round((x / 100) * widthPx) : x;
  const top = isPercent ? Math.round((y / 100) * heightPx) : y;
  // "If the region extends beyond the dimensions of the full image, … cropped at the image's edge"
  const right = Math.min(widthPx, isPercent ? Math.round(((x + w) / 100) * widthPx) : x + w);
  const bottom = Math.min(heightPx, isPercent ? Math.round(((y + h) / 100) * heightPx) : y + h);
  // "If the requested region's height or width is zero, or … entirely outside … 400"
  if (right <= left || bottom <= top) {
    throw wrong('region', text, `a region inside ${widthPx} × ${heightPx} pixels`);
  }
  return { x: left, y: top, widthPx: right - left, heightPx: bottom - top };
}

function readSize(
  text: string,
  region: RenderPlan['region'],
  { maxAreaPx }: PictureSize,
): { widthPx: number; heightPx: number } {
  const mayGrow = text.startsWith('^');
  const form = mayGrow ? text.slice(1) : text;
  const ratio = region.heightPx / region.widthPx;
  const found =
    form === 'max' ? largest(region, maxAreaPx, mayGrow) : sizeOf(form, region, ratio, mayGrow);
  if (found === undefined) {
    throw wrong('size', text, 'max, w,, ,h, pct:n, w,h or !w,h, with ^ before it to enlarge');
  }
  const { widthPx, heightPx } = found;
  if (widthPx < 1 || heightPx < 1) throw wrong('size', text, 'a size of at least one pixel');
  // "^ … not … the resulting image is larger than the region: 400"
  if (!mayGrow && (widthPx > region.widthPx || heightPx > region.heightPx)) {
    throw wrong('size', text, `at most ${region.widthPx} × ${region.heightPx}, or ^ before it`);
  }
  if (widthPx * heightPx > maxAreaPx) {
    throw wrong('size', text, `at most ${maxAreaPx} pixels in one answer`);
  }
  return { widthPx, heightPx };
}

function largest(region: RenderPlan['region'], maxAreaPx: number, mayGrow: boolean) {
  const area = region.widthPx * region.heightPx;
  const scale = Math.sqrt(maxAreaPx / area);
  if (scale >= 1 && !mayGrow) return { widthPx: region.widthPx, heightPx: region.heightPx };
  return {
    widthPx: Math.max(1, Math.floor(region.widthPx * scale)),
    heightPx: Math.max(1, Math.floor(region.heightPx * scale)),
  };
}

function sizeOf(
  form: string,
  region: RenderPlan['region'],
  ratio: number,
  mayGrow: boolean,
): { widthPx: number; heightPx: number } | undefined {
  const percent = /^pct:(\d+(?:\.\d+)?)$/.exec(form)?.[1];
  if (percent !== undefined) {
    const scale = Number(percent) / 100;
    if (scale > 1 && !mayGrow) throw wrong('size', form, 'at most pct:100, or ^ before it');
    return {
      widthPx: Math.round(region.widthPx * scale),
      heightPx: Math.round(region.heightPx * scale),
    };
  }
  const match = /^(!?)(\d{0,6}),(\d{0,6})$/.exec(form);
  if (match === null) return undefined;
  const [, confined, w = '', h = ''] = match;
  if (confined === '!') {
    if (w === '' || h === '') return undefined;
    const fit = Math.min(Number(w) / region.widthPx, Number(h) / region.heightPx);
    const scale = mayGrow ? fit : Math.min(1, fit);
    return {
      widthPx: Math.max(1, Math.round(region.widthPx * scale)),
      heightPx: Math.max(1, Math.round(region.heightPx * scale)),
    };
  }
  if (w === '' && h === '') return undefined;
  const widthPx = w === '' ? Math.max(1, Math.round(Number(h) / ratio)) : Number(w);
  const heightPx = h === '' ? Math.max(1, Math.round(Number(w) * ratio)) : Number(h);
  return {
    widthPx: w !== '' && Number(w) === 0 ? 0 : widthPx,
    heightPx: h !== '' && Number(h) === 0 ? 0 : heightPx,
  };
}

function readRotation(text: string): Pick<RenderPlan, 'rotationDeg' | 'mirrored'> {
  const match = /^(!?)(\d{1,3}(?:\.\d+)?)$/.exec(text);
  const degrees = Number(match?.[2]);
  if (match === null || degrees > 360) throw wrong('rotation', text, '0 to 360, with ! to mirror');
  if (degrees % 90 !== 0) {
    throw new Problem(
      'tile-request-unsupported',
      `rotation: pictures are turned by quarters only, not by ${text}. Ask for 0, 90, 180 or 270.`,
      { field: 'rotation' },
    );
  }
  return {
    rotationDeg: (degrees % 360) as RenderPlan['rotationDeg'],
    mirrored: match[1] === '!',
  };
}

function oneOf<const T extends string>(part: Part, text: string, allowed: readonly T[]): T {
  const found = allowed.find((each) => each === text);
  if (found === undefined) throw wrong(part, text, allowed.join(', '));
  return found;
}

function wrong(part: Part, text: string, expected: string): Problem {
  return new Problem(
    'request-invalid',
    `${part}: ${JSON.stringify(text.slice(0, 60))} cannot be answered. Ask for ${expected}.`,
    { field: part },
  );
}
