import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { imageFixture, openTestImaging } from './test-imaging.js';

const { imaging, folder } = openTestImaging({
  limits: { maxPixels: 40_000_000, maxBytes: 1_000_000 },
});
afterAll(() => {
  imaging.close();
  rmSync(folder, { recursive: true });
});

describe('probe', () => {
  // the fixtures are 96 × 64 by construction; tools/make-image-fixtures.mjs draws them
  it.each([
    ['quarters.jpg', 'image/jpeg', 8],
    ['quarters.png', 'image/png', 8],
    ['quarters.webp', 'image/webp', 8],
    ['quarters.tif', 'image/tiff', 8],
    ['quarters.heic', 'image/heic', 8],
    ['cmyk.jpg', 'image/jpeg', 8],
    ['ramp-16-bit.png', 'image/png', 16],
    ['ramp-16-bit.tif', 'image/tiff', 16],
  ])('tells what %s is', async (name, contentType, bitsPerSample) => {
    expect(await imaging.probe(imageFixture(name), { fileName: name })).toMatchObject({
      contentType,
      bitsPerSample,
      widthPx: 96,
      heightPx: 64,
      frames: 1,
      orientation: 1,
    });
  });

  it('takes a DNG by its preview, turned as the raw file says', async () => {
    const probe = await imaging.probe(imageFixture('preview.dng'));
    expect(probe).toMatchObject({
      format: 'dng',
      orientation: 6,
      widthPx: 64,
      heightPx: 96,
    });
    expect(probe.notes).toEqual([expect.stringContaining('preview inside the raw file')]);
  });

  it('takes a PDF as a document', async () => {
    const probe = await imaging.probe(imageFixture('page.pdf'));
    expect(probe.format).toBe('pdf');
    expect(probe.widthPx).toBeUndefined();
  });

  // upright sizes: EXIF 2.32 tag 0x0112, values 5 … 8 swap width and height
  it.each([1, 2, 3, 4, 5, 6, 7, 8])('honours EXIF orientation %i', async (orientation) => {
    const probe = await imaging.probe(imageFixture(`orientation-${orientation}.jpg`));
    expect(probe.orientation).toBe(orientation);
    expect([probe.widthPx, probe.heightPx]).toEqual(orientation < 5 ? [96, 64] : [64, 96]);
  });

  it('keeps place, serial numbers and names out of the open camera data', async () => {
    const { exif } = await imaging.probe(imageFixture('with-place.jpg'));
    expect(exif?.open).toMatchObject({
      Make: 'Example Optics',
      Model: 'Bench 1',
      DateTimeOriginal: '2026:05:04 10:20:30',
      FNumber: 8,
    });
    expect(exif?.keptInOriginal).toEqual(['place', 'serial numbers', 'names']);
    expect(JSON.stringify(exif)).not.toMatch(/000123|Nobody|51/);
  });

  it('goes by content and says that the name promised something else', async () => {
    const probe = await imaging.probe(imageFixture('jpeg-named.png'), {
      fileName: 'jpeg-named.png',
      declaredType: 'image/png',
    });
    expect(probe.contentType).toBe('image/jpeg');
    expect(probe.notes).toEqual([
      'The name jpeg-named.png promises png, the content is jpeg; kept as jpeg.',
    ]);
  });

  it.each([
    ['empty.jpg', 'file-empty'],
    ['truncated.jpg', 'file-damaged'],
    ['truncated.png', 'file-damaged'],
    ['truncated.tif', 'file-damaged'],
    ['truncated.webp', 'file-damaged'],
    ['truncated.pdf', 'file-damaged'],
    ['bomb.png', 'pixels-too-many'],
    ['animated.webp', 'frames-too-many'],
    ['animated.png', 'frames-too-many'],
    ['no-preview.dng', 'no-preview'],
  ])('refuses %s: %s', async (name, fault) => {
    await expect(imaging.probe(imageFixture(name))).rejects.toMatchObject({ fault });
  });

  it.each([
    ['drawing.svg', 'SVG'],
    ['animated.gif', 'GIF'],
    ['quarters.avif', 'AVIF'],
  ])('refuses %s by name', async (name, told) => {
    await expect(imaging.probe(imageFixture(name))).rejects.toMatchObject({
      fault: 'format-refused',
      message: expect.stringContaining(`The file is ${told}`) as string,
    });
  });

  it('refuses more bytes than the limit', async () => {
    const path = join(folder, 'large');
    writeFileSync(path, Buffer.alloc(1_000_001, 'x'));
    await expect(imaging.probe(path)).rejects.toMatchObject({ fault: 'file-too-large' });
  });

  it('refuses every truncation of a picture, or decodes it whole', async () => {
    // a noisy JPEG cut at 20 places: none may pass as whole
    const { readFileSync } = await import('node:fs');
    const whole = readFileSync(imageFixture('truncated.jpg'));
    const path = join(folder, 'cut');
    for (let part = 1; part <= 20; part++) {
      writeFileSync(path, whole.subarray(0, Math.ceil((whole.length * part) / 20)));
      await expect(imaging.probe(path)).rejects.toMatchObject({ fault: 'file-damaged' });
    }
  });
});
