/** Bands of wax or strokes of a pen: by how much of the ink lies in places broader than a pen. */
import { gaussianBlur, maxFilter, minFilter, type Plane, shrink } from '#libs/raster';

/** Half the side of the square that a band fills and no pen stroke does. */
const BROAD_MM = 1;
/** Paler than this is dust and grain. */
const INK = 0.12;

/** Share of the ink, 0-1, that stays when everything narrower than about 2.5 mm is taken away. */
export function broadShare(density: Plane, pxPerMm: number): number {
  const k = Math.max(1, Math.round(pxPerMm / 2));
  const smooth = gaussianBlur(shrink(density, k), (0.5 * pxPerMm) / k);
  const radius = Math.max(1, Math.round((BROAD_MM * pxPerMm) / k));
  const opened = maxFilter(minFilter(smooth, radius), radius);
  let all = 0;
  let broad = 0;
  for (let i = 0; i < smooth.data.length; i++) {
    if (smooth.data[i]! < INK) continue;
    all += smooth.data[i]!;
    broad += opened.data[i]!;
  }
  return all > 0 ? broad / all : 0;
}
