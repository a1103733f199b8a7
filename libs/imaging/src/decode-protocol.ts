import type { ExifFields } from './exif-fields.js';
import type { ImagingFault } from './imaging-error.js';
import type { ImagingLimits } from './imaging-limits.js';
import type { MediaFormat } from './media-format.js';

/** What a file holds, read from its content. */
export interface Probe {
  format: MediaFormat;
  contentType: string;
  sizeBytes: number;
  /** upright, after EXIF orientation; documents have none */
  widthPx?: number;
  heightPx?: number;
  bitsPerSample?: number;
  frames: number;
  /** EXIF value 1 … 8 of the stored picture */
  orientation: number;
  /** srgb, grey, cmyk, rgb16 … as the decoder names it */
  colourSpace?: string;
  exif?: ExifFields;
  /** what a person should know: wrong ending, picture taken from a preview, colours converted */
  notes: string[];
}

/** Rectangle of the upright picture, pixels. */
export interface PictureRegion {
  x: number;
  y: number;
  widthPx: number;
  heightPx: number;
}

/** One picture to cut out of a pyramid. */
export interface RenderPlan {
  region: PictureRegion;
  widthPx: number;
  heightPx: number;
  /** clockwise, after mirroring */
  rotationDeg: 0 | 90 | 180 | 270;
  mirrored: boolean;
  quality: 'default' | 'color' | 'gray' | 'bitonal';
  format: 'jpg' | 'png' | 'webp';
}

export type DecodeTask =
  | { name: 'probe'; path: string; fileName?: string; declaredType?: string }
  | { name: 'pyramid'; path: string; outPath: string }
  | { name: 'preview'; path: string; outPath: string; longEdgePx: number }
  | { name: 'pixels'; path: string; outPath: string }
  | {
      name: 'encode';
      path: string;
      widthPx: number;
      heightPx: number;
      channels: 1 | 3;
      outPath: string;
    }
  | { name: 'render'; path: string; plan: RenderPlan }
  | { name: 'crop'; jpeg: Uint8Array; widthPx: number; heightPx: number };

export interface DecodeAnswers {
  probe: Probe;
  pyramid: { widthPx: number; heightPx: number };
  preview: { widthPx: number; heightPx: number };
  /** `outPath` holds widthPx × heightPx × 3 bytes, sRGB, row-major */
  pixels: { widthPx: number; heightPx: number; dpi?: number };
  encode: { widthPx: number; heightPx: number };
  render: Uint8Array;
  crop: Uint8Array;
}

export interface DecodeRequest {
  task: DecodeTask;
  limits: ImagingLimits;
}

export type DecodeReply =
  | { ok: true; answer: unknown }
  | { ok: false; fault: ImagingFault | 'bug'; message: string }
  /** the machine's fault, not the file's; `code` as the system names it, where it did */
  | { ok: false; fault: 'machine'; code: string | undefined; message: string };
