/** How far the paper goes on beyond the marks: pictures of one panel overlap out there. */
import { type Flattening, imageXyPx } from '../flattening.js';
import { type GreyImage, greyAt } from '../grey-image.js';

const STEP_MM = 2;
const FARTHEST_MM = 260;
/** Off the paper's edge, where its shadow and torn fibres are. */
const MARGIN_MM = 4;
/** A step in brightness from one line to the next that shadows and stains do not make. */
const EDGE_STEP = 0.22;
const SAMPLES = 160;
/** Nearly the lightest of a line: paper shows through the wax even along a came. */
const LIGHT = 0.93;
/** A line that leaves the picture for more than this share is not looked at. */
const OUT_SHARE = 0.04;

/** The extent grown on each side while the picture shows paper. */
export function widerExtent(
  grey: GreyImage,
  flattening: Flattening,
): [number, number, number, number] {
  const extent: [number, number, number, number] = [...flattening.extentMm];
  for (const side of [0, 1, 2, 3] as const) {
    const outwards = side < 2 ? -1 : 1;
    const start = extent[side];
    let level: number | undefined;
    let reached = 0;
    for (let out = -6 * STEP_MM; out <= FARTHEST_MM; out += STEP_MM) {
      const light = lineLight(grey, flattening, extent, side, start + outwards * out);
      if (light === undefined) break;
      if (level !== undefined && Math.abs(light / level - 1) > EDGE_STEP && out > 0) break;
      level = level === undefined ? light : 0.6 * level + 0.4 * light;
      reached = out;
    }
    extent[side] = start + outwards * Math.max(0, reached - MARGIN_MM);
  }
  return extent;
}

/** Light level of the line at `mm` across the middle of the other direction; undefined where it leaves the picture. */
function lineLight(
  grey: GreyImage,
  flattening: Flattening,
  extent: readonly [number, number, number, number],
  side: 0 | 1 | 2 | 3,
  mm: number,
): number | undefined {
  const along = side % 2 === 0 ? 1 : 0;
  const from = extent[along];
  const to = extent[along + 2]!;
  const values: number[] = [];
  for (let k = 0; k < SAMPLES; k++) {
    const t = from + ((k + 0.5) / SAMPLES) * (to - from);
    const [u, v] = along === 1 ? imageXyPx(flattening, mm, t) : imageXyPx(flattening, t, mm);
    if (u < 0 || v < 0 || u > grey.width - 1 || v > grey.height - 1) continue;
    values.push(greyAt(grey, u, v));
  }
  if (values.length < (1 - OUT_SHARE) * SAMPLES) return undefined;
  values.sort((a, b) => a - b);
  return Math.max(1, values[Math.floor(LIGHT * (values.length - 1))]!);
}
