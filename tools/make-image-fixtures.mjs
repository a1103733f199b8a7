// Writes fixtures/images: small pictures in every format taken, sound and spoiled, from one drawn
// pattern. Run by hand when a fixture is added: node tools/make-image-fixtures.mjs
// The HEIC needs heif-enc (Debian package libheif-examples); without it the HEIC is left as it is.
import { execFileSync } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { crc32, deflateSync } from 'node:zlib';
import sharp from 'sharp';

const folder = new URL('../fixtures/images/', import.meta.url);
mkdirSync(folder, { recursive: true });
const write = (name, bytes) => writeFileSync(new URL(name, folder), bytes);

// 96 × 64: upper left quarter red, upper right green, lower left blue, lower right white,
// so that every turn and mirroring shows in the corners.
const width = 96;
const height = 64;
const rgb = Buffer.alloc(width * height * 3);
for (let y = 0; y < height; y++) {
  for (let x = 0; x < width; x++) {
    const colour =
      y < height / 2
        ? x < width / 2
          ? [230, 30, 30]
          : [30, 180, 60]
        : x < width / 2
          ? [40, 60, 220]
          : [245, 245, 245];
    rgb.set(colour, (y * width + x) * 3);
  }
}
const raw = { raw: { width, height, channels: 3 } };
const picture = () => sharp(rgb, raw);
const jpeg = await picture().jpeg({ quality: 90, chromaSubsampling: '4:4:4' }).toBuffer();
const png = await picture().png().toBuffer();

write('quarters.jpg', jpeg);
write('quarters.png', png);
write('quarters.webp', await picture().webp({ lossless: true }).toBuffer());
write('quarters.tif', await picture().tiff({ compression: 'lzw' }).toBuffer());
write('cmyk.jpg', await picture().toColourspace('cmyk').jpeg({ quality: 90 }).toBuffer());
for (let orientation = 1; orientation <= 8; orientation++) {
  write(
    `orientation-${orientation}.jpg`,
    await picture()
      .withMetadata({ orientation })
      .jpeg({ quality: 90, chromaSubsampling: '4:4:4' })
      .toBuffer(),
  );
}

// 16 bit: a ramp over the whole range
const ramp = new Uint16Array(width * height);
for (let i = 0; i < ramp.length; i++) ramp[i] = Math.round(((i % width) / (width - 1)) * 65535);
const grey16 = () => sharp(ramp, { raw: { width, height, channels: 1 } }).toColourspace('grey16');
write('ramp-16-bit.png', await grey16().png().toBuffer());
write('ramp-16-bit.tif', await grey16().tiff({ compression: 'deflate' }).toBuffer());

// camera data with a place (51.5 N, 0.25 W) and a serial number
write(
  'with-place.jpg',
  await picture()
    .withExif({
      IFD0: { Make: 'Example Optics', Model: 'Bench 1', Artist: 'A. Nobody', Copyright: 'Nobody' },
      IFD2: {
        DateTimeOriginal: '2026:05:04 10:20:30',
        FNumber: '80/10',
        BodySerialNumber: '000123',
      },
      IFD3: {
        GPSLatitudeRef: 'N',
        GPSLatitude: '51/1 30/1 0/1',
        GPSLongitudeRef: 'W',
        GPSLongitude: '0/1 15/1 0/1',
      },
    })
    .jpeg({ quality: 90 })
    .toBuffer(),
);

// spoiled ones
let state = 1;
const noise = Buffer.from(rgb, 0, rgb.length).map(() => {
  state = (state * 1103515245 + 12345) % 2 ** 31;
  return state >> 16;
});
const noisy = () => sharp(noise, raw);
for (const [name, bytes] of [
  ['truncated.jpg', await noisy().jpeg().toBuffer()],
  ['truncated.png', await noisy().png().toBuffer()],
  ['truncated.webp', await noisy().webp().toBuffer()],
]) {
  write(name, bytes.subarray(0, Math.floor(bytes.length * 0.8)));
}
const tif = await picture().tiff({ compression: 'none' }).toBuffer();
write('truncated.tif', tif.subarray(0, 2000));
write('empty.jpg', Buffer.alloc(0));
write('jpeg-named.png', jpeg);
write(
  'drawing.svg',
  '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"><rect width="10" height="10"/></svg>\n',
);
write(
  'animated.webp',
  await sharp(Buffer.concat([rgb, rgb.map((v) => 255 - v)]), {
    raw: { width, height: height * 2, channels: 3, pageHeight: height },
  })
    .webp({ delay: [100, 100] })
    .toBuffer(),
);
write(
  'animated.gif',
  await sharp(Buffer.concat([rgb, rgb]), {
    raw: { width, height: height * 2, channels: 3, pageHeight: height },
  })
    .gif()
    .toBuffer(),
);
write('quarters.avif', await picture().avif().toBuffer());

const chunk = (type, data) => {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(data.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crc32(body), body.length + 4);
  return out;
};
const ihdr = (w, h, depth, colour) => {
  const data = Buffer.alloc(13);
  data.writeUInt32BE(w, 0);
  data.writeUInt32BE(h, 4);
  data.set([depth, colour, 0, 0, 0], 8);
  return chunk('IHDR', data);
};
const PNG = Buffer.from('89504e470d0a1a0a', 'hex');
const IEND = chunk('IEND', Buffer.alloc(0));
// 1 bit a pixel, 60,000 × 60,000 = 3.6 gigapixels in under 500 kB
write(
  'bomb.png',
  Buffer.concat([
    PNG,
    ihdr(60000, 60000, 1, 0),
    chunk('IDAT', deflateSync(Buffer.alloc(7501 * 60000), { level: 9 })),
    IEND,
  ]),
);
// animated PNG by its acTL chunk (two frames)
const actl = Buffer.alloc(8);
actl.writeUInt32BE(2, 0);
write('animated.png', Buffer.concat([png.subarray(0, 33), chunk('acTL', actl), png.subarray(33)]));

// DNG: first directory a raw sensor picture (colour filter array) with DNGVersion and orientation 6,
// sub-directory with the JPEG preview
const entries = [];
const u16 = (v) => Buffer.from([v & 255, v >> 8]);
const u32 = (v) => {
  const b = Buffer.alloc(4);
  b.writeUInt32LE(v);
  return b;
};
const entry = (tag, type, count, value) => Buffer.concat([u16(tag), u16(type), u32(count), value]);
const short = (tag, v) => entry(tag, 3, 1, Buffer.concat([u16(v), u16(0)]));
const long = (tag, v) => entry(tag, 4, 1, u32(v));
const directory = (list) => Buffer.concat([u16(list.length), ...list, u32(0)]);
const sensor = Buffer.alloc(16);
const mainAt = 8;
const mainBytes = 2 + 10 * 12 + 4;
const subAt = mainAt + mainBytes;
const subBytes = 2 + 7 * 12 + 4;
const sensorAt = subAt + subBytes;
const previewAt = sensorAt + sensor.length;
entries.push(Buffer.from('49492a0008000000', 'hex'));
entries.push(
  directory([
    long(254, 0),
    long(256, 4),
    long(257, 4),
    short(259, 1),
    short(262, 32803),
    long(273, sensorAt),
    short(274, 6),
    long(279, sensor.length),
    long(330, subAt),
    entry(50706, 1, 4, Buffer.from([1, 4, 0, 0])),
  ]),
);
entries.push(
  directory([
    long(254, 1),
    long(256, width),
    long(257, height),
    short(259, 7),
    short(262, 6),
    long(273, previewAt),
    long(279, jpeg.length),
  ]),
  sensor,
  jpeg,
);
write('preview.dng', Buffer.concat(entries));
const withoutPreview = Buffer.concat(entries.slice(0, 2).concat(Buffer.alloc(subBytes), sensor));
withoutPreview.writeUInt32LE(0, subAt + subBytes - 4);
write('no-preview.dng', withoutPreview);

const pdf =
  '%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 100 100]>>endobj\n';
write(
  'page.pdf',
  `${pdf}xref\n0 1\n0000000000 65535 f \ntrailer<</Size 4/Root 1 0 R>>\nstartxref\n${pdf.length}\n%%EOF\n`,
);
write('truncated.pdf', pdf);

try {
  const source = new URL('heic-source.png', folder);
  writeFileSync(source, png);
  execFileSync(
    'heif-enc',
    ['-q', '95', '-o', new URL('quarters.heic', folder).pathname, source.pathname],
    { stdio: 'ignore' },
  );
  rmSync(source);
} catch (error) {
  rmSync(new URL('heic-source.png', folder), { force: true });
  console.error(`quarters.heic was not made anew: ${error.message}`);
}
