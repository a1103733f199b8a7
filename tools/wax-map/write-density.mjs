// Wax density of generated rubbings under their true camera, for fine-tune.py.
//   node tools/wax-map/write-density.mjs OUT CASE_FOLDER...      (after npm run build:node)
// Writes OUT/<case>.raw (8-bit density, 4 px/mm) and OUT/<case>.json (size, frame, leads, outline).
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import sharp from 'sharp';
import { greyOf } from '../../dist/libs/rubbing/src/grey-image.js';
import { rectify } from '../../dist/libs/rubbing/src/rectify.js';
import { waxDensity } from '../../dist/libs/rubbing/src/wax-density.js';

const MARGIN_MM = 24;
const [out, ...folders] = process.argv.slice(2);
mkdirSync(out, { recursive: true });
for (const folder of folders) {
  const target = join(out, basename(folder));
  if (existsSync(`${target}.json`)) continue;
  const truth = JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8'));
  const [image, camera] = Object.entries(truth.camera)[0];
  const { data, info } = await sharp(join(folder, image))
    .rotate()
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const grey = greyOf({ widthPx: info.width, heightPx: info.height, rgb: data });
  const h = camera.homography_mm_to_px.flat();
  const [width, height] = truth.panel.size_mm;
  const sheet = rectify(grey, {
    imageFromPanel: h,
    lens: { k1: camera.k1, centreX: camera.centre[0], centreY: camera.centre[1], r0: camera.r0 },
    extentMm: [-MARGIN_MM, -MARGIN_MM, width + MARGIN_MM, height + MARGIN_MM],
    imagePxPerMm: Math.hypot(h[0] - h[6] * h[2], h[3] - h[6] * h[5]),
  });
  const density = waxDensity(sheet);
  writeFileSync(
    `${target}.raw`,
    Uint8Array.from(density.data, (d) => Math.min(255, d * 255 + 0.5)),
  );
  const leads = truth.leads.map((lead) => ({
    line: lead.line,
    width: lead.width_mm,
    seen: lead.seen,
  }));
  const { originMm, pxPerMm } = sheet;
  writeFileSync(
    `${target}.json`,
    JSON.stringify({
      width: sheet.width,
      height: sheet.height,
      pxPerMm,
      originMm,
      outline: truth.panel.outline,
      leads,
    }),
  );
}
