import { createHash } from 'node:crypto';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { ImagingError } from './imaging-error.js';
import { continuedSize } from './tasks/derive.js';
import { imageFixture, openTestImaging } from './test-imaging.js';
import { readTileTable, tileAsJpeg } from './tile-table.js';

const { imaging, folder } = openTestImaging();
afterAll(() => {
  imaging.close();
  rmSync(folder, { recursive: true });
});

type Rgb = [number, number, number];
const RED: Rgb = [230, 30, 30];
const GREEN: Rgb = [30, 180, 60];
const BLUE: Rgb = [40, 60, 220];
const WHITE: Rgb = [245, 245, 245];

/** Colours in the middle of the four quarters: upper left, upper right, lower left, lower right. */
function quarters(rgb: Uint8Array, widthPx: number, heightPx: number): Rgb[] {
  return [
    [0.25, 0.25],
    [0.75, 0.25],
    [0.25, 0.75],
    [0.75, 0.75],
  ].map(([u, v]) => {
    const at = (Math.floor(v! * heightPx) * widthPx + Math.floor(u! * widthPx)) * 3;
    return [rgb[at]!, rgb[at + 1]!, rgb[at + 2]!];
  });
}

function expectNear(found: Rgb[], expected: Rgb[], tolerance: number): void {
  for (const [i, colour] of expected.entries()) {
    for (const [channel, value] of colour.entries()) {
      expect(Math.abs(found[i]![channel]! - value)).toBeLessThanOrEqual(tolerance);
    }
  }
}

describe('rgbPixels', () => {
  it.each(['quarters.jpg', 'quarters.png', 'quarters.webp', 'quarters.tif', 'quarters.heic'])(
    'gives the colours of %s',
    async (name) => {
      const { widthPx, heightPx, rgb } = await imaging.rgbPixels(imageFixture(name));
      expect([widthPx, heightPx, rgb.length]).toEqual([96, 64, 96 * 64 * 3]);
      // 6 of 255: lossy formats
      expectNear(quarters(rgb, widthPx, heightPx), [RED, GREEN, BLUE, WHITE], 6);
    },
  );

  // where each stored quarter lands when upright: EXIF 2.32 tag 0x0112 (the value names the visual
  // place of the stored first row and first column)
  it.each<[number, Rgb[]]>([
    [1, [RED, GREEN, BLUE, WHITE]],
    [2, [GREEN, RED, WHITE, BLUE]],
    [3, [WHITE, BLUE, GREEN, RED]],
    [4, [BLUE, WHITE, RED, GREEN]],
    [5, [RED, BLUE, GREEN, WHITE]],
    [6, [BLUE, RED, WHITE, GREEN]],
    [7, [WHITE, GREEN, BLUE, RED]],
    [8, [GREEN, WHITE, RED, BLUE]],
  ])('turns orientation %i upright', async (orientation, expected) => {
    const path = imageFixture(`orientation-${orientation}.jpg`);
    const { widthPx, heightPx, rgb } = await imaging.rgbPixels(path);
    expectNear(quarters(rgb, widthPx, heightPx), expected, 6);
  });

  it('turns the preview of a DNG as its directory says', async () => {
    const { widthPx, heightPx, rgb } = await imaging.rgbPixels(imageFixture('preview.dng'));
    expectNear(quarters(rgb, widthPx, heightPx), [BLUE, RED, WHITE, GREEN], 6);
  });

  it.each(['ramp-16-bit.png', 'ramp-16-bit.tif'])('keeps the range of %s', async (name) => {
    const { rgb } = await imaging.rgbPixels(imageFixture(name));
    const row = Array.from({ length: 96 }, (_, x) => rgb[x * 3]!);
    for (const [x, value] of row.entries()) {
      expect(Math.abs(value - (255 * x) / 95)).toBeLessThanOrEqual(1.5);
    }
  });

  it('converts CMYK', async () => {
    const { rgb, widthPx, heightPx } = await imaging.rgbPixels(imageFixture('cmyk.jpg'));
    const [red, green, blue, white] = quarters(rgb, widthPx, heightPx);
    // the hues survive; the exact colours are the profile's affair
    expect(red![0]).toBeGreaterThan(red![1] + 80);
    expect(green![1]).toBeGreaterThan(green![0] + 50);
    expect(blue![2]).toBeGreaterThan(blue![0] + 50);
    expect(Math.min(...white!)).toBeGreaterThan(230);
  });
});

describe('continuedSize', () => {
  it.each([
    [1001, 701],
    [1024, 1024],
    [256, 256],
    [255, 1],
    [1, 1],
    [6000, 4000],
    [12_345, 9_876],
  ])('leaves room on every level of %i × %i', (widthPx, heightPx) => {
    const size = continuedSize(widthPx, heightPx);
    for (let scale = 1; ; scale *= 2) {
      for (const [own, whole] of [
        [widthPx, size.widthPx],
        [heightPx, size.heightPx],
      ] as const) {
        expect((whole / scale) % 16).toBe(0);
        expect(whole / scale - Math.ceil(own / scale)).toBeGreaterThanOrEqual(1);
      }
      if (Math.max(size.widthPx, size.heightPx) / scale <= 256) break;
    }
  });
});

describe('previewJpeg', () => {
  it('carries no metadata and stands upright', async () => {
    const outPath = join(folder, 'preview.jpg');
    await imaging.previewJpeg(imageFixture('with-place.jpg'), outPath, 48);
    const metadata = await sharp(outPath).metadata();
    expect(metadata).toMatchObject({ format: 'jpeg', width: 48, height: 32 });
    expect([metadata.exif, metadata.xmp, metadata.iptc, metadata.orientation]).toEqual([
      undefined,
      undefined,
      undefined,
      undefined,
    ]);
    expect(readFileSync(outPath).includes('000123')).toBe(false);
  });
});

describe('pyramid', () => {
  const widthPx = 1001;
  const heightPx = 701;
  const source = join(folder, 'gradient.png');
  const outPath = join(folder, 'pyramid.tif');
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      rgb.set([(x * 255) / widthPx, (y * 255) / heightPx, 128], (y * widthPx + x) * 3);
    }
  }
  beforeAll(async () => {
    await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
      .png()
      .toFile(source);
    expect(await imaging.pyramid(source, outPath)).toEqual({ widthPx, heightPx });
  });

  const readAt = (start: number, end: number) =>
    Promise.resolve(new Uint8Array(readFileSync(outPath).subarray(start, end)));

  it('halves each level until one tile holds it', async () => {
    const { tilePx, levels } = await readTileTable(readAt);
    expect(tilePx).toBe(256);
    const whole = continuedSize(widthPx, heightPx);
    expect(levels.map((level) => [level.widthPx, level.heightPx])).toEqual(
      levels.map((_, depth) => [whole.widthPx / 2 ** depth, whole.heightPx / 2 ** depth]),
    );
    const smallest = levels.at(-1)!;
    expect(Math.max(smallest.widthPx, smallest.heightPx)).toBeLessThanOrEqual(256);
  });

  it('answers each tile as a JPEG of the right place', async () => {
    const { levels } = await readTileTable(readAt);
    for (const [depth, level] of levels.entries()) {
      for (let i = 0; i < level.offsets.length; i++) {
        const start = level.offsets[i]!;
        const jpeg = tileAsJpeg(level, await readAt(start, start + level.sizes[i]!));
        const { data, info } = await sharp(jpeg).raw().toBuffer({ resolveWithObject: true });
        expect([info.width, info.height]).toEqual([256, 256]);
        const x = (i % level.tilesAcross) * 256 + 10;
        const y = Math.floor(i / level.tilesAcross) * 256 + 10;
        const at = (10 * 256 + 10) * 3;
        // 4 of 255: JPEG and halving
        expect(Math.abs(data[at]! - (x * 2 ** depth * 255) / widthPx)).toBeLessThan(4);
        expect(Math.abs(data[at + 1]! - (y * 2 ** depth * 255) / heightPx)).toBeLessThan(4);
        expect(Math.abs(data[at + 2]! - 128)).toBeLessThan(4);
      }
    }
  });

  it('gives the same bytes again', async () => {
    const again = join(folder, 'again.tif');
    await imaging.pyramid(source, again);
    const digest = (path: string) => createHash('sha256').update(readFileSync(path)).digest('hex');
    expect(digest(again)).toBe(digest(outPath));
  });

  it('is read by a decoder that is not ours, to its last row and column', async () => {
    const data = await sharp(outPath)
      .extract({ left: 0, top: 0, width: widthPx, height: heightPx })
      .raw()
      .toBuffer();
    // a global costs a look-up each time in Jest's module context, too much for two million bytes
    const { abs, max } = Math;
    let worst = 0;
    for (let i = 0; i < data.length; i++) worst = max(worst, abs(data[i]! - rgb[i]!));
    expect(worst).toBeLessThanOrEqual(6);
  });

  it('renders a region mirrored, turned and scaled', async () => {
    const base = {
      region: { x: 100, y: 50, widthPx: 400, heightPx: 200 },
      widthPx: 100,
      heightPx: 50,
      quality: 'default' as const,
      format: 'png' as const,
    };
    const plain = await sharp(
      await imaging.render(outPath, { ...base, rotationDeg: 0, mirrored: false }),
    )
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([plain.info.width, plain.info.height]).toEqual([100, 50]);
    expect(Math.abs(plain.data[0]! - (102 * 255) / widthPx)).toBeLessThan(4);
    const turned = await sharp(
      await imaging.render(outPath, { ...base, rotationDeg: 90, mirrored: true }),
    )
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([turned.info.width, turned.info.height]).toEqual([50, 100]);
    // mirrored, then 90° clockwise: the lower left corner of the mirrored picture comes to the
    // upper left; it was the lower right of the region
    expect(Math.abs(turned.data[0]! - (498 * 255) / widthPx)).toBeLessThan(4);
    expect(Math.abs(turned.data[1]! - (248 * 255) / heightPx)).toBeLessThan(4);
  });
});

// Linux: a file that takes nothing, as a full disk does (full(4))
const FULL = '/dev/full';
(existsSync(FULL) ? describe : describe.skip)('a disk without room', () => {
  const picture = imageFixture('quarters.jpg');
  const grey = { widthPx: 64, heightPx: 48, pixels: new Uint8Array(64 * 48).fill(90) };
  it.each<[string, () => Promise<unknown>]>([
    ['a pyramid', () => imaging.pyramid(picture, FULL)],
    ['a preview', () => imaging.previewJpeg(picture, FULL)],
    ['pixels', () => imaging.rgbFile(picture, FULL)],
    ['a computed picture', () => imaging.jpegOfPixels(grey, FULL)],
  ])('is not told as a damaged file when %s is written', async (_name, make) => {
    const error = await make().then(
      () => undefined,
      (cause: unknown) => cause,
    );
    expect(error).not.toBeInstanceOf(ImagingError);
    expect(error).toMatchObject({ code: 'ENOSPC' });
  });
});
