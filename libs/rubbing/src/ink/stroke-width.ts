/** Bands of wax or strokes of a pen: by how much of the ink lies in places broader than a pen. */
import { gaussianBlur, makePlane, maxFilter, minFilter, type Plane, shrink } from '#libs/raster';

/** Half the side of the square that a band fills and no pen stroke does. */
const BROAD_MM = 1;
/** Paler than this is dust and grain. */
const INK = 0.12;

/** What lies in the middle of the sheet is leads; towards its edges there are marks and notes as well. */
const MIDDLE = 0.7;

/** Looked at round that middle as well, so that a stroke cut off there is not taken for a broad one. */
const RIM_MM = 4;

/** Share of the ink in the middle of the sheet, 0-1, that stays when everything narrower than about 2.5 mm is taken away. */
export function broadShare(density: Plane, pxPerMm: number): number {
  const k = Math.max(1, Math.round(pxPerMm / 2));
  const rim = Math.round((RIM_MM * pxPerMm) / k);
  const smooth = gaussianBlur(shrink(middleOf(density, rim * k), k), (0.5 * pxPerMm) / k);
  const radius = Math.max(1, Math.round((BROAD_MM * pxPerMm) / k));
  const opened = maxFilter(minFilter(smooth, radius), radius);
  let all = 0;
  let broad = 0;
  for (let y = rim; y < smooth.height - rim; y++) {
    for (let i = y * smooth.width + rim; i < (y + 1) * smooth.width - rim; i++) {
      if (smooth.data[i]! < INK) continue;
      all += smooth.data[i]!;
      broad += opened.data[i]!;
    }
  }
  return all > 0 ? broad / all : 0;
}

/** The middle of the sheet and `rim` pixels round it, as far as the sheet goes. */
function middleOf(plane: Plane, rim: number): Plane {
  const width = Math.min(plane.width, Math.ceil(MIDDLE * plane.width) + 2 * rim);
  const height = Math.min(plane.height, Math.ceil(MIDDLE * plane.height) + 2 * rim);
  const left = (plane.width - width) >> 1;
  const top = (plane.height - height) >> 1;
  const out = makePlane(width, height);
  for (let y = 0; y < height; y++) {
    const from = (top + y) * plane.width + left;
    out.data.set(plane.data.subarray(from, from + width), y * width);
  }
  return out;
}
