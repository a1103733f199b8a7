import { randomUUID } from 'node:crypto';
import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DecodePool } from './decode-pool.js';
import type { DecodeAnswers, DecodeTask, Probe, RenderPlan } from './decode-protocol.js';
import { DEFAULT_IMAGING_LIMITS, type ImagingLimits } from './imaging-limits.js';
import { PREVIEW_PARAMETERS } from './provenance.js';
import { probeDocument } from './tasks/probe-document.js';

export interface ImagingOptions {
  limits?: Partial<ImagingLimits>;
  concurrency?: number;
  /** private folder for pixels on their way between processes */
  scratchFolder: string;
}

/** Tests run the sources as they stand; their process finds them by the hooks. */
const CHILD = import.meta.url.endsWith('.ts')
  ? {
      script: fileURLToPath(new URL('./decode-child.ts', import.meta.url)),
      execArgv: ['--import', new URL('../../../tools/source-hooks.mjs', import.meta.url).href],
    }
  : { script: fileURLToPath(new URL('./decode-child.js', import.meta.url)) };

/** Pixels of an upright picture: row-major, three bytes each, sRGB. */
export interface RgbPixels {
  widthPx: number;
  heightPx: number;
  rgb: Uint8Array;
  /** dots an inch, if the file states a believable figure */
  dpi?: number;
}

/**
 * Everything that decodes a picture, each step in a process of its own with limits.
 * All methods throw {ImagingError} with a sentence for a person; what the machine refused (no room on a
 * disk, say) comes as {Error} with the system's `code`.
 */
export class Imaging {
  readonly limits: ImagingLimits;
  private readonly pool: DecodePool;
  private readonly scratchFolder: string;

  constructor(options: ImagingOptions) {
    this.limits = { ...DEFAULT_IMAGING_LIMITS, ...options.limits };
    this.scratchFolder = options.scratchFolder;
    this.pool = new DecodePool({
      ...CHILD,
      concurrency: options.concurrency ?? 2,
    });
  }

  /** What the file is, by its content; decodes a picture once from end to end. */
  async probe(
    path: string,
    told: { fileName?: string; declaredType?: string } = {},
  ): Promise<Probe> {
    const request = { path, ...told };
    return (
      (await probeDocument(request, this.limits)) ?? (await this.run({ name: 'probe', ...request }))
    );
  }

  /** One pyramidal TIFF of 256 px JPEG tiles; same input and version, same bytes. */
  pyramid(path: string, outPath: string): Promise<DecodeAnswers['pyramid']> {
    return this.run({ name: 'pyramid', path, outPath });
  }

  /** A JPEG without metadata, never larger than the picture. */
  previewJpeg(
    path: string,
    outPath: string,
    longEdgePx: number = PREVIEW_PARAMETERS.longEdgePx,
  ): Promise<DecodeAnswers['preview']> {
    return this.run({ name: 'preview', path, outPath, longEdgePx });
  }

  async rgbPixels(path: string): Promise<RgbPixels> {
    return this.withScratch(async (outPath) => {
      const size = await this.rgbFile(path, outPath);
      return { ...size, rgb: await readFile(outPath) };
    });
  }

  /** The same into a file of bare pixels, for what must not hold several pictures at once. */
  rgbFile(path: string, outPath: string): Promise<DecodeAnswers['pixels']> {
    return this.run({ name: 'pixels', path, outPath });
  }

  /** @param pixels row-major, one byte a pixel (grey) or three (sRGB) */
  async jpegOfPixels(
    picture: { widthPx: number; heightPx: number; pixels: Uint8Array },
    outPath: string,
  ): Promise<void> {
    await this.withScratch(async (path) => {
      const { widthPx, heightPx, pixels } = picture;
      await writeFile(path, pixels, { mode: 0o600 });
      const channels = pixels.length === widthPx * heightPx ? 1 : 3;
      await this.run({ name: 'encode', path, widthPx, heightPx, channels, outPath });
    });
  }

  /** Cuts a picture out of a pyramid that lies on this machine. */
  render(path: string, plan: RenderPlan): Promise<Uint8Array> {
    return this.run({ name: 'render', path, plan });
  }

  /** The upper left part of a padded edge tile. */
  cropTile(jpeg: Uint8Array, widthPx: number, heightPx: number): Promise<Uint8Array> {
    return this.run({ name: 'crop', jpeg, widthPx, heightPx });
  }

  close(): void {
    this.pool.close();
  }

  private async run<N extends DecodeTask['name']>(
    task: Extract<DecodeTask, { name: N }>,
  ): Promise<DecodeAnswers[N]> {
    return (await this.pool.run({ task, limits: this.limits })) as DecodeAnswers[N];
  }

  private async withScratch<T>(use: (path: string) => Promise<T>): Promise<T> {
    const path = join(this.scratchFolder, randomUUID());
    try {
      return await use(path);
    } finally {
      await rm(path, { force: true });
    }
  }
}
