/** A camera that sees one picture, for Chromium's fake capture device (Y4M, raw YUV 4:2:0). */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';

const [WIDTH, HEIGHT] = [1280, 720];
const FRAMES = 3;

/** Arguments for the browser; the picture lies in `folder` as the device's film. */
export async function cameraOf(picture: Buffer, folder: string): Promise<string[]> {
  const luma = await sharp(picture)
    .resize(WIDTH, HEIGHT, { fit: 'contain', background: '#777' })
    .flatten({ background: '#fff' })
    .greyscale()
    .raw()
    .toBuffer();
  const colour = Buffer.alloc((WIDTH * HEIGHT) / 2, 128);
  const frame = Buffer.concat([Buffer.from('FRAME\n'), luma, colour]);
  const path = join(folder, 'camera.y4m');
  writeFileSync(
    path,
    Buffer.concat([
      Buffer.from(`YUV4MPEG2 W${WIDTH} H${HEIGHT} F10:1 Ip A1:1 C420\n`),
      ...Array.from({ length: FRAMES }, () => frame),
    ]),
  );
  return [
    '--use-fake-ui-for-media-stream',
    '--use-fake-device-for-media-stream',
    `--use-file-for-fake-video-capture=${path}`,
  ];
}
