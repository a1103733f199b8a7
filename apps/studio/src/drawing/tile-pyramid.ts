/**
 * The tiles of one picture by IIIF Image 3.0 (§ 4, § 5.3 of the API): what info.json offers, which
 * tiles cover a region at a scale factor, and a cache of the loaded ones.
 */
import { say } from '../platform/language/say.js';

interface ImageInfo {
  readonly width: number;
  readonly height: number;
  readonly tiles?: readonly {
    readonly width: number;
    readonly height?: number;
    readonly scaleFactors: readonly number[];
  }[];
}

export interface Tile {
  readonly key: string;
  /** region of the picture, px */
  readonly xPx: number;
  readonly yPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly image: HTMLImageElement | null;
}

const keptTiles = 400;

export class TilePyramid {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly #base: string;
  readonly #tileWidth: number;
  readonly #tileHeight: number;
  readonly #scaleFactors: readonly number[];
  /** insertion order is age: the oldest falls out */
  readonly #images = new Map<string, HTMLImageElement>();
  readonly #listeners = new Set<() => void>();

  private constructor(base: string, info: ImageInfo) {
    this.#base = base;
    this.widthPx = info.width;
    this.heightPx = info.height;
    const tiles = info.tiles?.[0];
    this.#tileWidth = tiles?.width ?? 512;
    this.#tileHeight = tiles?.height ?? this.#tileWidth;
    this.#scaleFactors = [...(tiles?.scaleFactors ?? [1])].sort((a, b) => a - b);
  }

  /** @throws when the picture has no pyramid (yet) */
  static async open(mediaId: string, signal?: AbortSignal): Promise<TilePyramid> {
    const base = `/iiif/3/${mediaId}`;
    const answer = await fetch(`${base}/info.json`, signal ? { signal } : {});
    if (!answer.ok)
      throw new Error(
        answer.status === 404 || answer.status === 409 || answer.status === 503
          ? say('This picture is still being prepared. It will show in a moment.')
          : say('This picture cannot be shown ({status}).', { status: answer.status }),
      );
    return new TilePyramid(base, (await answer.json()) as ImageInfo);
  }

  /** Called when another tile has come in; returns the way to stop. */
  onLoad(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Coarsest first: the levels to draw so that `wanted` picture px per screen px look sharp. */
  levels(wanted: number): readonly number[] {
    const coarsest = this.#scaleFactors.at(-1) ?? 1;
    const fitting = this.#scaleFactors.filter((factor) => factor <= wanted).at(-1);
    const target = fitting ?? this.#scaleFactors[0] ?? 1;
    return target === coarsest ? [coarsest] : [coarsest, target];
  }

  /** Tiles of one level that touch a region given in picture px. */
  tiles(scaleFactor: number, region: readonly [number, number, number, number]): readonly Tile[] {
    const stepX = this.#tileWidth * scaleFactor;
    const stepY = this.#tileHeight * scaleFactor;
    const [minX, minY, maxX, maxY] = region;
    const found: Tile[] = [];
    const firstColumn = Math.max(0, Math.floor(minX / stepX));
    const firstRow = Math.max(0, Math.floor(minY / stepY));
    for (let y = firstRow * stepY; y < Math.min(this.heightPx, maxY); y += stepY)
      for (let x = firstColumn * stepX; x < Math.min(this.widthPx, maxX); x += stepX) {
        const widthPx = Math.min(stepX, this.widthPx - x);
        const heightPx = Math.min(stepY, this.heightPx - y);
        const size = `${Math.ceil(widthPx / scaleFactor)},${Math.ceil(heightPx / scaleFactor)}`;
        const key = `${x},${y},${widthPx},${heightPx}/${size}/0/default.jpg`;
        found.push({ key, xPx: x, yPx: y, widthPx, heightPx, image: this.#image(key) });
      }
    return found;
  }

  #image(key: string): HTMLImageElement | null {
    const known = this.#images.get(key);
    if (known) {
      this.#images.delete(key);
      this.#images.set(key, known);
      return known.complete && known.naturalWidth > 0 ? known : null;
    }
    const image = new Image();
    image.decoding = 'async';
    image.addEventListener('load', () => {
      for (const listener of this.#listeners) listener();
    });
    image.addEventListener('error', () => {
      // Asked for again when it is next on screen, but not in a tight circle.
      setTimeout(() => this.#images.delete(key), 4000);
    });
    image.src = `${this.#base}/${key}`;
    this.#images.set(key, image);
    const oldest = this.#images.keys().next().value;
    if (this.#images.size > keptTiles && oldest !== undefined) this.#images.delete(oldest);
    return null;
  }
}
